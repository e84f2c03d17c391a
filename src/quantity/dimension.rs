//! Physical dimensions as exponents.

/// Exponents of length, force, time, temperature and angle.
///
/// Force takes the place of mass, so that N, mm and `MPa` stay whole numbers of each other. An angle
/// counts as a dimension of its own: a length where an angle belongs is then a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Dimension {
    length: i8,
    force: i8,
    time: i8,
    temperature: i8,
    angle: i8,
}

impl Dimension {
    /// A bare number.
    pub const NONE: Self = Self::new(0, 0, 0, 0, 0);
    /// mm
    pub const LENGTH: Self = Self::new(1, 0, 0, 0, 0);
    /// mm2
    pub const AREA: Self = Self::new(2, 0, 0, 0, 0);
    /// mm3
    pub const VOLUME: Self = Self::new(3, 0, 0, 0, 0);
    /// N
    pub const FORCE: Self = Self::new(0, 1, 0, 0, 0);
    /// `MPa`
    pub const STRESS: Self = Self::new(-2, 1, 0, 0, 0);
    /// N mm
    pub const MOMENT: Self = Self::new(1, 1, 0, 0, 0);
    /// s
    pub const TIME: Self = Self::new(0, 0, 1, 0, 0);
    /// K
    pub const TEMPERATURE: Self = Self::new(0, 0, 0, 1, 0);
    /// rad
    pub const ANGLE: Self = Self::new(0, 0, 0, 0, 1);
    /// kg
    pub const MASS: Self = Self::new(-1, 1, 2, 0, 0);
    /// g/cm3
    pub const DENSITY: Self = Self::new(-4, 1, 2, 0, 0);
    /// mm/s
    pub const SPEED: Self = Self::new(1, 0, -1, 0, 0);
    /// N/kg
    pub const ACCELERATION: Self = Self::new(1, 0, -2, 0, 0);
    /// 1/K
    pub const EXPANSION: Self = Self::new(0, 0, 0, -1, 0);

    const fn new(length: i8, force: i8, time: i8, temperature: i8, angle: i8) -> Self {
        Self { length, force, time, temperature, angle }
    }

    fn combined(self, other: Self, with: impl Fn(i8, i8) -> i8) -> Self {
        Self {
            length: with(self.length, other.length),
            force: with(self.force, other.force),
            time: with(self.time, other.time),
            temperature: with(self.temperature, other.temperature),
            angle: with(self.angle, other.angle),
        }
    }

    /// Of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        self.combined(other, i8::saturating_add)
    }

    /// Of a quotient.
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        self.combined(other, i8::saturating_sub)
    }

    /// Of a power; `None` where an exponent would not be a whole number.
    #[must_use]
    pub fn raised(self, exponent: f64) -> Option<Self> {
        if self == Self::NONE {
            return Some(self);
        }
        let raise = |power: i8| -> Option<i8> {
            let raised = f64::from(power) * exponent;
            let whole = (-127..=127_i8).find(|n| (f64::from(*n) - raised).abs() < 1e-9);
            if power == 0 { Some(0) } else { whole }
        };
        Some(Self {
            length: raise(self.length)?,
            force: raise(self.force)?,
            time: raise(self.time)?,
            temperature: raise(self.temperature)?,
            angle: raise(self.angle)?,
        })
    }

    /// Of a square root; `None` where an exponent is odd.
    #[must_use]
    pub fn root(self) -> Option<Self> {
        self.raised(0.5)
    }

    /// The name that a designer would use, with the unit: "a length (mm)".
    #[must_use]
    pub fn describe(self) -> String {
        let known = [
            (Self::NONE, "a bare number"),
            (Self::LENGTH, "a length (mm)"),
            (Self::AREA, "an area (mm2)"),
            (Self::VOLUME, "a volume (mm3)"),
            (Self::FORCE, "a force (N)"),
            (Self::STRESS, "a stress (MPa)"),
            (Self::MOMENT, "a torque (N mm)"),
            (Self::TIME, "a time (s)"),
            (Self::TEMPERATURE, "a temperature (degC or K)"),
            (Self::ANGLE, "an angle (deg)"),
            (Self::MASS, "a mass (g)"),
            (Self::DENSITY, "a density (g/cm3)"),
            (Self::SPEED, "a speed (mm/s)"),
            (Self::ACCELERATION, "an acceleration (N/kg)"),
            (Self::EXPANSION, "a thermal expansion (ppm/K)"),
        ];
        let name = known.iter().find(|(dimension, _)| *dimension == self);
        name.map_or_else(|| self.exponents(), |(_, name)| (*name).to_owned())
    }

    fn exponents(self) -> String {
        let parts =
            [("mm", self.length), ("N", self.force), ("s", self.time), ("K", self.temperature), ("rad", self.angle)];
        let written: Vec<String> = parts
            .iter()
            .filter(|(_, power)| *power != 0)
            .map(|(unit, power)| if *power == 1 { (*unit).to_owned() } else { format!("{unit}^{power}") })
            .collect();
        format!("a quantity in {}", written.join(" "))
    }
}
