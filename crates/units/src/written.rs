//! Units as people write them in a file, and the factor that brings each to the one unit used inside.

use std::fmt;

/// What kind of number a field holds; it decides which units may be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// A pure number, unit "1".
    Number,
    /// Heat removed per electric energy (a COP); an EER may be written too.
    Cop,
    /// A share of a whole, inside as a fraction.
    Share,
    /// A yearly rate, inside as a fraction per year.
    PerYear,
    /// A rate per burn hour, inside per hour.
    PerHour,
    /// A time in hours.
    Hours,
    /// A time in days.
    Days,
    /// A time in minutes.
    Minutes,
    /// A time in months; a year is 12 of them.
    Months,
    /// A length, inside in metres.
    Length,
    /// An area, inside in square metres.
    Area,
    /// Electric power, inside in watts.
    Power,
    /// Photon flux, inside in µmol/s.
    PhotonFlux,
    /// Photon flux density, inside in µmol/m²/s.
    Ppfd,
    /// Money in the scenario's currency, per something.
    Money(Per),
}

/// What an amount of money is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// One lamp.
    Lamp,
    /// One fixture.
    Fixture,
    /// One kilowatt of lights.
    Kw,
    /// One repair.
    Repair,
    /// One visit of the crew.
    Visit,
    /// One hour of work.
    Hour,
    /// One claim under a warranty.
    Claim,
    /// One kilowatt-hour.
    Kwh,
    /// One kilowatt of a month's peak.
    KwMonth,
    /// One kilovar of a month's reactive peak.
    KvarMonth,
    /// A stretch of time that stands beside the amount: a day, a month, a year.
    Time,
}

/// A unit that does not fit the field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownUnit {
    /// Units that do fit, the one used inside first.
    pub allowed: Vec<String>,
}

impl fmt::Display for UnknownUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "one of: {}", self.allowed.join(", "))
    }
}

impl std::error::Error for UnknownUnit {}

impl Dimension {
    /// Units that may be written, each with the factor to the one used inside; that one comes first with factor 1.
    fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Number => &[("1", 1.0)],
            // 1 W is 3.412 Btu/h (International Table Btu of 1055.056 J; from memory): COP = EER / 3.412
            Self::Cop => &[("1", 1.0), ("Btu/Wh", 1.0 / 3.412)],
            Self::Share => &[("1", 1.0), ("%", 0.01)],
            Self::PerYear => &[("1/yr", 1.0), ("%/yr", 0.01)],
            Self::PerHour => &[("1/h", 1.0), ("1/kh", 1e-3), ("%/kh", 1e-5)],
            Self::Hours => &[("h", 1.0), ("kh", 1e3)],
            Self::Days => &[("d", 1.0), ("h", 1.0 / 24.0)],
            Self::Minutes => &[("min", 1.0), ("h", 60.0), ("s", 1.0 / 60.0)],
            Self::Months => &[("month", 1.0), ("yr", 12.0)],
            // the international foot is 0.3048 m exactly (NIST Special Publication 811, appendix B; from memory)
            Self::Length => &[("m", 1.0), ("cm", 0.01), ("ft", 0.3048), ("in", 0.0254)],
            Self::Area => &[("m²", 1.0), ("m2", 1.0), ("ft²", 0.3048 * 0.3048), ("ft2", 0.3048 * 0.3048)],
            Self::Power => &[("W", 1.0), ("kW", 1e3)],
            Self::PhotonFlux => &[("µmol/s", 1.0), ("umol/s", 1.0)],
            Self::Ppfd => &[("µmol/m²/s", 1.0), ("umol/m2/s", 1.0), ("µmol m⁻² s⁻¹", 1.0)],
            Self::Money(Per::Lamp) => &[("{}/lamp", 1.0)],
            Self::Money(Per::Fixture) => &[("{}/fixture", 1.0)],
            Self::Money(Per::Kw) => &[("{}/kW", 1.0)],
            Self::Money(Per::Repair) => &[("{}/repair", 1.0)],
            Self::Money(Per::Visit) => &[("{}/visit", 1.0)],
            Self::Money(Per::Hour) => &[("{}/h", 1.0)],
            Self::Money(Per::Claim) => &[("{}/claim", 1.0)],
            Self::Money(Per::Kwh) => &[("{}/kWh", 1.0), ("{}/MWh", 1e-3)],
            Self::Money(Per::KwMonth) => &[("{}/kW/month", 1.0)],
            Self::Money(Per::KvarMonth) => &[("{}/kvar/month", 1.0)],
            Self::Money(Per::Time) => &[("{}", 1.0)],
        }
    }

    /// Name of the unit used inside, with the scenario's currency where it is money.
    pub fn unit(self, currency: &str) -> String {
        self.units()[0].0.replace("{}", currency)
    }

    /// Factor that brings a number written in `unit` to the unit used inside.
    ///
    /// # Errors
    /// When the unit does not fit; the error lists those that do.
    ///
    /// ```
    /// use units::Dimension;
    /// assert_eq!(Dimension::Hours.factor("kh", "USD").unwrap(), 1000.0);
    /// assert!(Dimension::Hours.factor("lux", "USD").is_err());
    /// ```
    pub fn factor(self, unit: &str, currency: &str) -> Result<f64, UnknownUnit> {
        // U+00B5 (micro sign) and U+03BC (Greek mu) look the same and are both typed
        let unit = unit.trim().replace('\u{3bc}', "\u{b5}");
        self.units()
            .iter()
            .find(|(name, _)| name.replace("{}", currency) == unit)
            .map(|&(_, factor)| factor)
            .ok_or_else(|| UnknownUnit {
                allowed: self.units().iter().map(|(name, _)| name.replace("{}", currency)).collect(),
            })
    }
}
