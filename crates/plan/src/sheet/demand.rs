//! Reading demand charges, ratchets and power factors.

use scenario::form::{self, DemandPrice as WrittenDemand, Tariff};
use tariff::{Block, DemandPrice, DemandRule, Moments, PowerFactorRule, PriceId, Ratchet};
use units::{Dimension, Per};

use super::{INTERVALS, MOST_RULES, Sheets};
use crate::hours;
use crate::reader::{Field, Reader, Spot, shown};

/// Longest look-back, billing periods.
const LONGEST_LOOK: u32 = 60;

impl Sheets<'_> {
    pub(super) fn demand(&mut self, tariff: &Tariff, at: &Spot) -> Vec<DemandRule> {
        let at = at.member("demand");
        tariff
            .demand
            .iter()
            .take(MOST_RULES)
            .enumerate()
            .map(|(k, rule)| {
                let at = at.item(k);
                let when = hours::times(rule.when.as_ref(), &at, Some(&self.seasons), self.reader);
                self.on_interval_ends(&when, &at.member("when"));
                let minimum_kw = rule.minimum_kw.unwrap_or(0.0);
                if !(0.0..=1e9).contains(&minimum_kw) {
                    self.reader.fault(&at.member("minimum_kw"), format!("{} kW", shown(minimum_kw)), "0 to 1e9 kW");
                }
                DemandRule {
                    name: rule.name.clone().unwrap_or_else(|| format!("demand {}", k + 1)),
                    price: self.demand_price(rule, &at),
                    ratchet: rule.ratchet.as_ref().map(|ratchet| self.ratchet(ratchet, &at.member("ratchet"))),
                    minimum_kw,
                    when,
                }
            })
            .collect()
    }

    fn on_interval_ends(&mut self, when: &[Moments], at: &Spot) {
        // an interval that is itself at fault would only blame the hours as well
        let Some(interval) = INTERVALS.into_iter().find(|known| u32::from(*known) == self.interval) else { return };
        let odd = when.iter().flat_map(|set| set.edges()).find(|edge| edge % interval != 0);
        if let Some(edge) = odd {
            let found = format!("an edge at {:02}:{:02}", edge / 60, edge % 60);
            let allowed =
                format!("times at which a demand interval of {interval} min ends; or another `demand_interval`");
            self.reader.fault(at, found, allowed);
        }
    }

    fn demand_price(&mut self, rule: &WrittenDemand, at: &Spot) -> DemandPrice {
        let field = Field::new(Dimension::Money(Per::KwMonth), 0.0, 1e9);
        let given = [
            ("price", rule.price.is_some()),
            ("by_season", rule.by_season.is_some()),
            ("by_month", rule.by_month.is_some()),
            ("blocks", rule.blocks.is_some()),
        ];
        self.reader.exactly_one(at, &given);
        if let Some(blocks) = &rule.blocks {
            return DemandPrice::Blocks(self.blocks(blocks, at, field, "kW"));
        }
        if let Some(prices) = &rule.by_month {
            return DemandPrice::ByMonth(self.twelve(prices, &at.member("by_month"), field));
        }
        if let Some(prices) = &rule.by_season {
            let spot = at.member("by_season");
            let names = self.seasons.names().to_vec();
            for name in prices.keys().filter(|name| !names.contains(name)) {
                let allowed = match names.as_slice() {
                    [] => "another price: the tariff names no season under `seasons`".to_owned(),
                    names => format!("the tariff's seasons: {}", names.join(", ")),
                };
                self.reader.fault(&spot.member(name), format!("the season \"{name}\""), allowed);
            }
            let missing: Vec<&String> = names.iter().filter(|name| !prices.contains_key(*name)).collect();
            if let Some(name) = missing.first() {
                self.reader.fault(
                    &spot,
                    format!("no price for \"{name}\""),
                    "a price for each season; 0 may be written",
                );
                return DemandPrice::BySeason(vec![PriceId(0); names.len()]);
            }
            let ids = names.iter().map(|name| self.price(&prices[name], &spot.member(name), field)).collect::<Vec<_>>();
            return DemandPrice::BySeason(if ids.is_empty() { vec![PriceId(0)] } else { ids });
        }
        let price = rule.price.as_ref().map_or(PriceId(0), |price| self.price(price, &at.member("price"), field));
        DemandPrice::Blocks(vec![Block { up_to: f64::INFINITY, price }])
    }

    fn ratchet(&mut self, ratchet: &form::Ratchet, at: &Spot) -> Ratchet {
        if !(1..=LONGEST_LOOK).contains(&ratchet.previous_months) {
            let allowed = format!("1 to {LONGEST_LOOK} months");
            self.reader.fault(&at.member("previous_months"), format!("{} months", ratchet.previous_months), allowed);
        }
        let mut months = |months: &Option<Vec<u8>>, key: &str| {
            months.as_ref().map_or(0x0FFF, |months| hours::month_set(months, &at.member(key), self.reader))
        };
        let (of_months, in_months) =
            (months(&ratchet.peaks_of_months, "peaks_of_months"), months(&ratchet.lifts_in_months, "lifts_in_months"));
        Ratchet {
            share: self.price(&ratchet.share, &at.member("share"), Field::new(Dimension::Share, 0.0, 1.0)),
            periods: ratchet.previous_months as usize,
            of_months,
            in_months,
        }
    }

    pub(super) fn power_factor(&mut self, rule: Option<&form::PowerFactor>, at: &Spot) -> Option<PowerFactorRule> {
        use form::PowerFactorRule as Written;
        let rule = rule?;
        let mut needed = |value: Option<f64>, key: &str, wanted: bool, low: f64, high: f64| {
            let spot = at.member(key);
            match (value, wanted) {
                (None, false) => {}
                (Some(value), true) if (low..=high).contains(&value) => {}
                (Some(value), true) => self.reader.fault(&spot, value.to_string(), format!("{low} to {high}")),
                (Some(value), false) => {
                    self.reader.fault(&spot, value.to_string(), "nothing: this rule has no use for it")
                }
                (None, true) => self.reader.fault(&spot, "nothing", format!("{low} to {high}: this rule needs it")),
            }
            value.unwrap_or(high)
        };
        let by_pf = matches!(rule.rule, Written::ScaleDemand | Written::PercentPerPoint);
        let below = needed(rule.below, "below", by_pf, 0.05, 1.0);
        let allowance = needed(rule.allowance, "allowance", rule.rule == Written::KvarOverAllowance, 0.0, 20.0);
        let given = |figure: &Option<_>, wanted: bool, key: &str, reader: &mut Reader| {
            if figure.is_some() != wanted {
                let found = if wanted { "nothing" } else { "a number" };
                let allowed =
                    if wanted { "a number: this rule needs it" } else { "nothing: this rule has no use for it" };
                reader.fault(&at.member(key), found, allowed);
            }
        };
        given(&rule.price, rule.rule == Written::KvarOverAllowance, "price", self.reader);
        given(&rule.percent, rule.rule == Written::PercentPerPoint, "percent", self.reader);
        Some(match rule.rule {
            Written::ScaleDemand => PowerFactorRule::ScaleDemand { below },
            Written::KvaBilling => PowerFactorRule::KvaBilling,
            Written::KvarOverAllowance => PowerFactorRule::KvarOverAllowance {
                allowance,
                price: rule.price.as_ref().map_or(PriceId(0), |price| {
                    let field = Field::new(Dimension::Money(Per::KvarMonth), 0.0, 1e9);
                    self.price(price, &at.member("price"), field)
                }),
            },
            Written::PercentPerPoint => PowerFactorRule::PercentPerPoint {
                below,
                percent: rule.percent.as_ref().map_or(PriceId(0), |percent| {
                    self.price(percent, &at.member("percent"), Field::new(Dimension::Share, 0.0, 1.0))
                }),
            },
        })
    }
}
