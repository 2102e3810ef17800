//! What a meter shows for one billing period: all that a bill depends on, and no price.

use jiff::civil::Date;

/// A billing period.
#[derive(Debug, Clone, PartialEq)]
pub struct Period {
    /// First day.
    pub first: Date,
    /// Last day.
    pub last: Date,
    /// Days in it.
    pub days: f64,
    /// Its days as a share of the full period's that it is cut from; 1 when it is whole.
    pub of_full: f64,
    /// Its days as a share of their calendar years.
    pub of_year: f64,
    /// Whether it is the last that ends in its calendar year.
    pub closes_year: bool,
    /// Its days by month and season.
    pub parts: Vec<DayPart>,
    /// Its months, each once.
    pub months: Vec<u8>,
}

/// Days of a billing period that share month and season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayPart {
    /// Month, 1 to 12.
    pub month: u8,
    /// Season.
    pub season: u8,
    /// How many days.
    pub days: f64,
}

impl Period {
    /// Month of its last day, 1 to 12.
    pub fn month(&self) -> u8 {
        self.last.month() as u8
    }
}

/// What the meter shows for a period.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// Energy by energy rule, kWh.
    pub kwh: Vec<f64>,
    /// Energy by energy rule and block, kWh, rule by rule; only for blocks that fill in time order.
    pub kwh_in_blocks: Vec<f64>,
    /// Energy in each of [`Period::months`], kWh.
    pub kwh_by_month: Vec<f64>,
    /// Highest demand inside the hours of each demand rule.
    pub peaks: Vec<Peak>,
    /// Highest demand at any time.
    pub highest: Peak,
}

/// A highest average over a demand interval.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peak {
    /// Demand, kW.
    pub kw: f64,
    /// Reactive demand in the same interval, kvar.
    pub kvar: f64,
    /// Seconds from the start of the first day to the interval's beginning; of the first such interval.
    pub at: Option<i64>,
}

impl Peak {
    /// Power factor in its interval; 1 without any load.
    pub fn power_factor(self) -> f64 {
        let kva = self.kw.hypot(self.kvar);
        if kva > 0.0 { self.kw / kva } else { 1.0 }
    }
}

impl Reading {
    /// Energy of the period, kWh.
    pub fn total_kwh(&self) -> f64 {
        self.kwh.iter().sum()
    }
}
