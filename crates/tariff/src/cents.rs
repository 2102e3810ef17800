//! Rounding to the hundredth of the currency.

/// Rounds to 0.01, half away from zero. Kilowatt-hours are sums of many pieces and may be off by some 1e-14 of themselves; so
/// what lies less than 1e-11 of itself below a half counts as the half that decimal arithmetic would see.
pub(crate) fn to_cents(amount: f64) -> f64 {
    let cents = (amount.abs() * 100.0 * (1.0 + 1e-11) + 0.5).floor();
    (cents / 100.0).copysign(amount)
}

#[cfg(test)]
mod tests {
    use super::to_cents;

    #[test]
    fn halves_are_rounded_away_from_zero_as_decimals_would_be() {
        // 19.583̅ kWh × 0.156, with the error of a sum of many pieces; and halves that no binary number is
        for (amount, cents) in
            [(19.583_333_333_333_03 * 0.156, 3.06), (1.005, 1.01), (-0.125, -0.13), (3.054_999, 3.05)]
        {
            assert_eq!(to_cents(amount), cents, "{amount}");
        }
    }
}
