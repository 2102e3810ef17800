//! One type for each physical quantity, and the products of them that mean something.

use std::ops::{Add, Div, Mul};

/// Seconds in an hour.
pub const SECONDS_PER_HOUR: f64 = 3600.0;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $new:ident, $read:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a number in ", $unit, ".")]
            pub const fn $new(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The number in ", $unit, ".")]
            pub const fn $read(self) -> f64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
    };
}

quantity!(
    /// Area of a canopy or of a mapped patch of it.
    Area, from_square_metres, square_metres, "m²"
);
quantity!(
    /// Photosynthetic photon flux density (400–700 nm) on a surface.
    Ppfd, from_umol_per_m2_s, umol_per_m2_s, "µmol/m²/s"
);
quantity!(
    /// Photosynthetic photon flux, of a lamp or into a stated area.
    PhotonFlux, from_umol_per_s, umol_per_s, "µmol/s"
);
quantity!(
    /// Amount of photosynthetic photons.
    Moles, from_mol, mol, "mol"
);
quantity!(
    /// Electric power at the wall.
    Power, from_watts, watts, "W"
);
quantity!(
    /// Electric energy.
    Energy, from_kwh, kwh, "kWh"
);
quantity!(
    /// A length of time.
    Hours, from_hours, hours, "h"
);
quantity!(
    /// Photons per electric energy.
    Efficacy, from_umol_per_j, umol_per_j, "µmol/J"
);

/// Flux that lands on an area: Φ = mean PPFD × area.
///
/// ```
/// use units::{Area, Ppfd};
/// let flux = Ppfd::from_umol_per_m2_s(656.52) * Area::from_square_metres(2.25);
/// assert!((flux.umol_per_s() - 1477.17).abs() < 1e-9);
/// ```
impl Mul<Area> for Ppfd {
    type Output = PhotonFlux;
    fn mul(self, area: Area) -> PhotonFlux {
        PhotonFlux(self.0 * area.0)
    }
}

impl PhotonFlux {
    /// Photons delivered in a time: 1 µmol/s for 1 h is 0.0036 mol.
    ///
    /// ```
    /// use units::{Hours, PhotonFlux};
    /// let moles = PhotonFlux::from_umol_per_s(1.0).for_time(Hours::from_hours(1.0));
    /// assert!((moles.mol() - 0.0036).abs() < 1e-15);
    /// ```
    pub fn for_time(self, time: Hours) -> Moles {
        Moles(self.0 * time.0 * SECONDS_PER_HOUR * 1e-6)
    }
}

impl Power {
    /// Energy drawn in a time.
    pub fn for_time(self, time: Hours) -> Energy {
        Energy(self.0 * time.0 * 1e-3)
    }
}

impl Div<Power> for PhotonFlux {
    type Output = Efficacy;
    fn div(self, power: Power) -> Efficacy {
        Efficacy(self.0 / power.0)
    }
}

impl Efficacy {
    /// Moles for one kWh: 1 µmol/J is 3.6 mol/kWh.
    ///
    /// ```
    /// assert_eq!(units::Efficacy::from_umol_per_j(1.0).mol_per_kwh(), 3.6);
    /// ```
    pub fn mol_per_kwh(self) -> f64 {
        self.0 * 3.6
    }
}
