//! The units that a sheet can use.

use super::Dimension;

/// A unit: a name, what it measures, and how it converts to base units.
#[derive(Debug, PartialEq)]
#[non_exhaustive]
pub struct Unit {
    /// As written in a sheet.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of it.
    pub factor: f64,
    /// What is added after the factor: the zero of a temperature scale.
    pub zero: f64,
}

impl Unit {
    /// A unit by its name; a few spellings of the same unit are taken.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        let name = match name {
            "°" | "degree" | "degrees" => "deg",
            "°C" => "degC",
            "°F" => "degF",
            "µm" | "μm" => "um",
            "inch" | "inches" => "in",
            "mm²" => "mm2",
            "mm³" => "mm3",
            "cm²" => "cm2",
            "in²" => "in2",
            "cm³" => "cm3",
            "g/cm³" => "g/cm3",
            "m/s²" => "m/s2",
            other => other,
        };
        UNITS.iter().find(|unit| unit.name == name)
    }

    /// From this unit to base units.
    #[must_use]
    pub fn to_base(&self, value: f64) -> f64 {
        value * self.factor + self.zero
    }

    /// From base units to this unit.
    #[must_use]
    pub fn show(&self, base: f64) -> f64 {
        (base - self.zero) / self.factor
    }

    /// Whether the unit names points on a scale with a zero of its own.
    #[must_use]
    pub fn is_point(&self) -> bool {
        self.zero != 0.0
    }

    /// Whether it is one of the inch and pound: whoever writes it reads the others with trouble.
    #[must_use]
    pub fn is_customary(&self) -> bool {
        matches!(self.name, "in" | "in2" | "lbf" | "psi" | "degF")
    }

    /// The unit that a quantity of this dimension is shown in when the author chose none.
    #[must_use]
    pub fn usual(dimension: Dimension, point: bool) -> Option<&'static Self> {
        UNITS.iter().find(|unit| unit.dimension == dimension && unit.is_point() == point)
    }
}

const fn unit(name: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { name, dimension, factor, zero: 0.0 }
}

/// One newton second squared per millimetre is 1000 kg.
const KG: f64 = 1e-3;

/// Every unit; the first of a dimension is the usual one.
///
/// Factors: the SI brochure (9th edition); inch and pound-force exact by the international yard
/// and pound agreement (25.4 mm; 0.453 592 37 kg × 9.806 65 m/s²).
pub static UNITS: [Unit; 37] = [
    unit("mm", Dimension::LENGTH, 1.0),
    unit("um", Dimension::LENGTH, 1e-3),
    unit("cm", Dimension::LENGTH, 10.0),
    unit("m", Dimension::LENGTH, 1000.0),
    unit("in", Dimension::LENGTH, 25.4),
    unit("deg", Dimension::ANGLE, std::f64::consts::PI / 180.0),
    unit("rad", Dimension::ANGLE, 1.0),
    unit("N", Dimension::FORCE, 1.0),
    unit("kN", Dimension::FORCE, 1000.0),
    unit("lbf", Dimension::FORCE, 0.453_592_37 * 9.806_65),
    unit("MPa", Dimension::STRESS, 1.0),
    unit("kPa", Dimension::STRESS, 1e-3),
    unit("GPa", Dimension::STRESS, 1000.0),
    unit("psi", Dimension::STRESS, 0.453_592_37 * 9.806_65 / (25.4 * 25.4)),
    unit("g", Dimension::MASS, 1e-3 * KG),
    unit("kg", Dimension::MASS, KG),
    unit("K", Dimension::TEMPERATURE, 1.0),
    Unit { name: "degC", dimension: Dimension::TEMPERATURE, factor: 1.0, zero: 273.15 },
    Unit { name: "degF", dimension: Dimension::TEMPERATURE, factor: 5.0 / 9.0, zero: 273.15 - 32.0 * 5.0 / 9.0 },
    unit("%", Dimension::NONE, 0.01),
    unit("s", Dimension::TIME, 1.0),
    unit("min", Dimension::TIME, 60.0),
    unit("h", Dimension::TIME, 3600.0),
    unit("day", Dimension::TIME, 86_400.0),
    unit("mm2", Dimension::AREA, 1.0),
    unit("cm2", Dimension::AREA, 100.0),
    unit("in2", Dimension::AREA, 25.4 * 25.4),
    unit("mm3", Dimension::VOLUME, 1.0),
    unit("cm3", Dimension::VOLUME, 1000.0),
    unit("Nmm", Dimension::MOMENT, 1.0),
    unit("Nm", Dimension::MOMENT, 1000.0),
    unit("g/cm3", Dimension::DENSITY, 1e-3 * KG / 1000.0),
    unit("kg/m3", Dimension::DENSITY, KG / 1e9),
    unit("N/kg", Dimension::ACCELERATION, 1000.0),
    unit("m/s2", Dimension::ACCELERATION, 1000.0),
    unit("ppm/K", Dimension::EXPANSION, 1e-6),
    unit("mm/s", Dimension::SPEED, 1.0),
];
