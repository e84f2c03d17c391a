//! Unit conversion against a general-purpose units library (uom, from the package registry).

use dryfit::quantity::Unit;
use uom::si::f64::{Angle, Force, Length, Mass, Pressure, TemperatureInterval, ThermodynamicTemperature, Time};
use uom::si::{angle, force, length, mass, pressure, temperature_interval, thermodynamic_temperature, time};

fn base(value: f64, unit: &str) -> f64 {
    Unit::named(unit).unwrap().to_base(value)
}

fn close(ours: f64, theirs: f64, what: &str) {
    assert!((ours - theirs).abs() <= 1e-9 * theirs.abs().max(1e-12), "{what}: {ours} against {theirs}");
}

#[test]
fn lengths() {
    for (name, theirs) in [
        ("mm", Length::new::<length::millimeter>(3.7)),
        ("um", Length::new::<length::micrometer>(3.7)),
        ("cm", Length::new::<length::centimeter>(3.7)),
        ("m", Length::new::<length::meter>(3.7)),
        ("in", Length::new::<length::inch>(3.7)),
    ] {
        close(base(3.7, name), theirs.get::<length::millimeter>(), name);
    }
}

#[test]
fn forces_stresses_and_angles() {
    for (name, theirs) in [
        ("N", Force::new::<force::newton>(2.5)),
        ("kN", Force::new::<force::kilonewton>(2.5)),
        ("lbf", Force::new::<force::pound_force>(2.5)),
    ] {
        // The library rounds the pound-force to seven digits.
        assert!((base(2.5, name) / theirs.get::<force::newton>() - 1.0).abs() < 1e-6, "{name}");
    }
    for (name, theirs) in [
        ("MPa", Pressure::new::<pressure::megapascal>(2.5)),
        ("kPa", Pressure::new::<pressure::kilopascal>(2.5)),
        ("GPa", Pressure::new::<pressure::gigapascal>(2.5)),
        ("psi", Pressure::new::<pressure::pound_force_per_square_inch>(2.5)),
    ] {
        assert!((base(2.5, name) / theirs.get::<pressure::megapascal>() - 1.0).abs() < 1e-6, "{name}");
    }
    close(base(30.0, "deg"), Angle::new::<angle::degree>(30.0).get::<angle::radian>(), "deg");
    close(base(1.2, "rad"), Angle::new::<angle::radian>(1.2).get::<angle::radian>(), "rad");
}

#[test]
fn temperatures_are_points_and_differences() {
    let celsius = ThermodynamicTemperature::new::<thermodynamic_temperature::degree_celsius>(60.0);
    close(base(60.0, "degC"), celsius.get::<thermodynamic_temperature::kelvin>(), "degC");
    let fahrenheit = ThermodynamicTemperature::new::<thermodynamic_temperature::degree_fahrenheit>(140.0);
    close(base(140.0, "degF"), fahrenheit.get::<thermodynamic_temperature::kelvin>(), "degF");
    let interval = TemperatureInterval::new::<temperature_interval::kelvin>(5.0);
    close(base(5.0, "K"), interval.get::<temperature_interval::kelvin>(), "K");
}

#[test]
fn masses_and_times() {
    // Mass is force by acceleration inside: a kilogram is a newton second squared per metre.
    let kilogram = Mass::new::<mass::kilogram>(1.0).get::<mass::kilogram>();
    close(base(1.0, "kg") * 1000.0, kilogram, "kg");
    close(base(1000.0, "g"), base(1.0, "kg"), "g");
    for (name, theirs) in [
        ("min", Time::new::<time::minute>(2.0)),
        ("h", Time::new::<time::hour>(2.0)),
        ("day", Time::new::<time::day>(2.0)),
    ] {
        close(base(2.0, name), theirs.get::<time::second>(), name);
    }
}

#[test]
fn every_unit_comes_back_from_base_units() {
    for unit in &dryfit::quantity::UNITS {
        close(unit.show(unit.to_base(12.5)), 12.5, unit.name);
    }
}
