//! Reading the values of arguments; each says what is allowed.

/// A number of months.
pub fn months(text: &str) -> Result<usize, String> {
    text.parse().ok().filter(|months| (1..=720).contains(months)).ok_or_else(|| "1 to 720 months are allowed".into())
}

/// Hours of a day.
pub fn dark_hours(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|hours| (0.0..24.0).contains(hours))
        .ok_or_else(|| "0 to less than 24 h are allowed".into())
}

/// Two times of day.
pub fn span(text: &str) -> Result<(calendar::Minute, calendar::Minute), String> {
    let times = text.split_once('-').map(|(from, to)| (calendar::Minute::parse(from), calendar::Minute::parse(to)));
    match times {
        Some((Some(from), Some(to))) if from != to => Ok((from, to)),
        _ => Err("two different times as HH:MM-HH:MM are allowed".into()),
    }
}

/// A code of three capitals.
pub fn currency(text: &str) -> Result<String, String> {
    let fits = text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase());
    if fits { Ok(text.into()) } else { Err("an ISO 4217 code of three capitals is allowed, such as USD".into()) }
}

/// A share as 0.001 or 0.1%.
pub fn share(text: &str) -> Result<f64, String> {
    let (number, factor) = text.strip_suffix('%').map_or((text, 1.0), |number| (number, 0.01));
    let share =
        number.trim().parse::<f64>().map_err(|_| "a share such as 0.1% or 0.001 is allowed".to_owned())? * factor;
    if share > 0.0 && share < 1.0 { Ok(share) } else { Err("more than 0 and less than 1 (100%) is allowed".into()) }
}

/// A rate per year as 8% or 0.08; it may be below 0.
pub fn rate(text: &str) -> Result<f64, String> {
    let text = text.trim().replace('\u{2212}', "-");
    let (number, factor) = text.strip_suffix('%').map_or((text.as_str(), 1.0), |number| (number, 0.01));
    let wrong = || "a rate a year such as 8% or 0.08 is allowed".to_owned();
    let rate = number.trim().parse::<f64>().ok().filter(|rate| rate.is_finite()).ok_or_else(wrong)? * factor;
    if !(rate > -1.0) {
        return Err(
            "a rate must be above \u{2212}100 % a year: at \u{2212}100 % nothing would be left to discount by".into()
        );
    }
    if rate <= 10.0 { Ok(rate) } else { Err(format!("{} % a year is more than 1 000 %; was 8% meant?", 100.0 * rate)) }
}

/// An input, and from where to where.
pub type Asked = (String, Option<f64>, Option<f64>);

/// An input by its name, with or without a range: `B.life` or `B.life=5000..40000`; either end may be left out.
pub fn asked(text: &str) -> Result<Asked, String> {
    let Some((name, range)) = text.rsplit_once('=') else { return Ok((text.trim().into(), None, None)) };
    let wrong = || "an input, or an input and a range such as B.life=5000..40000, is allowed".to_owned();
    let (from, to) = range.split_once("..").ok_or_else(wrong)?;
    let end = |text: &str| match text.trim() {
        "" => Ok(None),
        text => text.parse::<f64>().ok().filter(|value| value.is_finite()).map(Some).ok_or_else(wrong),
    };
    Ok((name.trim().into(), end(from)?, end(to)?))
}

/// Burn hours of a life test.
pub fn test_hours(text: &str) -> Result<f64, String> {
    let hours = text.trim().parse().ok().filter(|hours| (10.0..=200_000.0).contains(hours));
    hours.ok_or_else(|| "10 to 200000 burn hours are allowed".into())
}

/// Burn hours after a start.
pub fn start_hours(text: &str) -> Result<f64, String> {
    let hours = text.trim().parse().ok().filter(|hours| (0.1..=10_000.0).contains(hours));
    hours.ok_or_else(|| "0.1 to 10000 burn hours a start are allowed".into())
}

/// An amount of money that is not below 0.
pub fn money(text: &str) -> Result<f64, String> {
    let money = text.trim().parse().ok().filter(|money| (0.0..=1e9).contains(money));
    money.ok_or_else(|| "an amount from 0 to 1e9 in the scenario's currency is allowed".into())
}

/// A PPFD in µmol/m²/s.
pub fn ppfd(text: &str) -> Result<f64, String> {
    let fits = |ppfd: &f64| (0.001..=10_000.0).contains(ppfd);
    text.parse().ok().filter(fits).ok_or_else(|| "0.001 to 10 000 µmol/m²/s are allowed".into())
}

/// Hours of light a day.
pub fn lit_hours(text: &str) -> Result<f64, String> {
    let fits = |hours: &f64| *hours > 0.0 && *hours <= 24.0;
    text.parse().ok().filter(fits).ok_or_else(|| "more than 0 and at most 24 h are allowed".into())
}

/// A height in m.
pub fn height(text: &str) -> Result<f64, String> {
    let text = text.trim_end_matches('m').trim_end();
    text.parse()
        .ok()
        .filter(|height| (0.001..=100.0).contains(height))
        .ok_or_else(|| "0.001 to 100 m are allowed".into())
}

/// Rows and readings in a row, as 5x5.
pub fn layout(text: &str) -> Result<(usize, usize), String> {
    let sides = text
        .split_once(['x', 'X', '×'])
        .and_then(|(rows, columns)| Some((rows.trim().parse().ok()?, columns.trim().parse().ok()?)));
    sides.ok_or_else(|| "rows x readings in a row, such as 5x5, are allowed".into())
}

/// Burn hours, such as those of a start or of a whole life.
pub fn burn_hours(text: &str) -> Result<f64, String> {
    hours_between(text, 0.01, 1e6)
}

/// Burn hours of a day.
pub fn hours_a_day(text: &str) -> Result<f64, String> {
    hours_between(text, 0.01, 24.0)
}

fn hours_between(text: &str, low: f64, high: f64) -> Result<f64, String> {
    let hours: f64 = text.parse().map_err(|_| format!("{text:?} is no number"))?;
    if hours >= low && hours <= high {
        Ok(hours)
    } else {
        Err(format!("{hours} h: at least {low} h and at most {high} h"))
    }
}
