//! A trial of lamps in production sockets, drawn by lot.
//!
//! Belongs here: counts and codes, the luck of the draw, how even it came out, what it costs and what is to be said of it.
//! Does not belong here: the draw itself (`learn::lots`), where sockets and names come from (the door).

mod words;

use draws::{Purpose, Stream};
use learn::lots::{MOST_IN_LINE, MOST_SOCKETS, Room, drawn, one_after_the_other, shuffle};
use plan::Plan;

use crate::assign_report::{
    ASSIGN_FORMAT, AssignCost, AssignLamp, AssignReport, AssignSocket, EvenLamp, Evenness, KeyLine,
};

pub use words::general_cautions;

/// Most kinds of lamps in one trial: as many as there are codes.
pub const MOST_KINDS: usize = CODES.len();
/// Codes of a blind trial: letters that nobody takes for a number, for a grade, or for a reason of the log (F, B, R, X).
const CODES: [&str; 12] = ["P", "T", "V", "Y", "K", "L", "M", "N", "U", "W", "H", "Z"];
/// Items of the lot's luck: the plan, the codes, and who gets a surplus.
const PLAN: u64 = 0;
const CODE: u64 = 1;
const SURPLUS: u64 = 2;

/// A trial that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct AssignOrder {
    /// Title of the scenario; empty without one.
    pub title: String,
    /// The kinds of lamps.
    pub lamps: Vec<WantedLamp>,
    /// Lamps of each kind, in their order; as many of each as can be when absent.
    pub of_each: Option<Vec<usize>>,
    /// Sockets of the room.
    pub sockets: usize,
    /// Places of a full row.
    pub places: usize,
    /// Seed of the lot.
    pub seed: u64,
    /// Day on which the lamps go in, as it is to stand in the log.
    pub from: Option<String>,
    /// Whether lamps go by codes.
    pub is_blind: bool,
    /// Currency of the prices; absent without prices.
    pub currency: Option<String>,
    /// Cautions to be said.
    pub cautions: Vec<String>,
    /// Remarks to be made.
    pub remarks: Vec<String>,
}

/// A kind of lamp that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedLamp {
    /// Its name.
    pub name: String,
    /// Price of one, in the order's currency; the median where it is uncertain.
    pub price: Option<f64>,
}

/// A trial as drawn, and the key to its codes if it is blind.
#[derive(Debug, Clone, PartialEq)]
pub struct Assigned {
    /// The plan.
    pub report: AssignReport,
    /// What each code stands for; empty unless the trial is blind.
    pub key: Vec<KeyLine>,
}

/// Options of a plan whose lamps can be put into sockets, by index: those with a lamp of its own that is renewed.
pub fn options_with_lamps(plan: &Plan) -> Vec<usize> {
    let fits = |index: &usize| plan.options[*index].lamp.as_ref().is_some_and(|lamp| !lamp.is_fixture);
    (0..plan.options.len()).filter(fits).collect()
}

/// The lamps of some options of a plan with their prices, and what is to be remarked of them.
pub fn lamps_of(plan: &Plan, options: &[usize]) -> (Vec<WantedLamp>, Vec<String>) {
    let medians = plan.inputs.medians();
    let priced = |index: &usize| {
        let option = &plan.options[*index];
        let price = option.lamp.as_ref().map(|lamp| medians[lamp.price.index()]);
        WantedLamp { name: option.name.clone(), price }
    };
    let powers: Vec<f64> = options.iter().map(|index| medians[plan.options[*index].wall_power.index()]).collect();
    let remarks = words::remarks(plan, options, &powers);
    (options.iter().map(priced).collect(), remarks)
}

/// Rows of so many sockets and their places, where nobody says how they hang: as square as it goes, the last row shorter
/// where there is no other way.
pub fn guessed_places(sockets: usize) -> usize {
    let root = (1..=sockets).take_while(|rows| rows * rows <= sockets).last().unwrap_or(1);
    // rows of one length, unless they would be more than four times as long as there are rows
    let even = (1..=root).rev().find(|rows| sockets.is_multiple_of(*rows)).filter(|rows| sockets <= 4 * rows * rows);
    sockets.div_ceil(even.unwrap_or(root)).max(1)
}

/// Draws a trial.
///
/// # Errors
/// What cannot be drawn, as a sentence about the arguments of the command.
pub fn assign(order: &AssignOrder, program: &str) -> Result<Assigned, String> {
    let kinds = order.lamps.len();
    if !(2..=MOST_KINDS).contains(&kinds) {
        return Err(format!("--lamp: {kinds} kinds of lamp; a trial takes 2 to {MOST_KINDS}"));
    }
    for (index, lamp) in order.lamps.iter().enumerate() {
        if lamp.name.trim().is_empty() {
            return Err("--lamp: a name is empty".into());
        }
        if order.lamps[..index].iter().any(|other| other.name == lamp.name) {
            return Err(format!("--lamp \"{}\": named twice", scenario::harmless(&lamp.name)));
        }
    }
    let room = Room::new(order.sockets, order.places).ok_or_else(|| {
        format!(
            "{} sockets in rows of {}: lots are drawn for at most {MOST_SOCKETS} sockets in at most {MOST_IN_LINE} rows of \
             at most {MOST_IN_LINE} places",
            order.sockets, order.places
        )
    })?;
    let luck_of = |item: u64| {
        let (stream, mut index) = (Stream::new(order.seed, Purpose::Lot, item, 0), 0);
        move || {
            index += 1;
            stream.uniform(index - 1)
        }
    };
    let counts = counts(order, &room, &mut luck_of(SURPLUS))?;
    // sockets that take no part are drawn like those of one kind more
    let unused = order.sockets - counts.iter().sum::<usize>();
    let all = if unused > 0 { [&counts[..], &[unused]].concat() } else { counts.clone() };
    let drawn = drawn(&room, &all, &mut luck_of(PLAN)).ok_or("the lamps do not add up to the sockets")?;
    let (signs, order_of_signs) = signs(order, &mut luck_of(CODE));
    // where codes are used, nothing may tell in which order the lamps were named
    let place_of = |kind: usize| order_of_signs.iter().position(|other| *other == kind);
    let lamps: Vec<AssignLamp> = order_of_signs
        .iter()
        .map(|kind| AssignLamp {
            sign: signs[*kind].clone(),
            name: (!order.is_blind).then(|| order.lamps[*kind].name.clone()),
            count: counts[*kind],
        })
        .collect();
    let shown = |kinds: &[usize]| -> Vec<Option<usize>> { kinds.iter().map(|kind| place_of(*kind)).collect() };
    let by_lot = shown(&drawn);
    let sockets = by_lot.iter().enumerate().map(|(socket, lamp)| {
        let (row, place) = room.spot(socket);
        AssignSocket { socket: socket + 1, row: row + 1, place: place + 1, is_end: room.is_end(socket), lamp: *lamp }
    });
    let key = order_of_signs.iter().filter(|_| order.is_blind).map(|kind| KeyLine {
        code: signs[*kind].clone(),
        lamp: order.lamps[*kind].name.clone(),
        count: counts[*kind],
    });
    let report = AssignReport {
        format: ASSIGN_FORMAT.into(),
        program: program.into(),
        title: order.title.clone(),
        seed: order.seed,
        from: order.from.clone(),
        is_blind: order.is_blind,
        rows: room.rows(),
        places: room.places(),
        sockets: sockets.collect(),
        by_lot: evenness(&room, &by_lot, &lamps),
        in_order: evenness(&room, &shown(&one_after_the_other(&all)), &lamps),
        cost: cost(order, &counts),
        drawn: words::drawn(&room, &counts, unused),
        steps: words::steps(order.is_blind),
        limits: words::limits(),
        cautions: order.cautions.clone(),
        remarks: order.remarks.clone(),
        lamps,
    };
    Ok(Assigned { report, key: key.collect() })
}

/// Lamps of each kind: as asked for, or as even as can be with the surplus given by lot.
fn counts(order: &AssignOrder, room: &Room, luck: &mut dyn FnMut() -> f64) -> Result<Vec<usize>, String> {
    let kinds = order.lamps.len();
    let Some(counts) = &order.of_each else {
        let mut takers: Vec<usize> = (0..kinds).collect();
        shuffle(&mut takers, luck);
        let mut counts = vec![room.sockets() / kinds; kinds];
        takers.iter().take(room.sockets() % kinds).for_each(|kind| counts[*kind] += 1);
        if counts.contains(&0) {
            return Err(format!("{} sockets are too few for {kinds} kinds of lamp", room.sockets()));
        }
        return Ok(counts);
    };
    if counts.len() != kinds {
        return Err(format!("--of-each: {} counts for {kinds} kinds of lamp", counts.len()));
    }
    if counts.contains(&0) {
        return Err("--of-each: a kind of which no lamp is hung is in no trial; name fewer with --lamp".into());
    }
    match counts.iter().try_fold(0usize, |sum, count| sum.checked_add(*count)) {
        Some(sum) if sum <= room.sockets() => Ok(counts.clone()),
        sum => {
            let found = sum.map_or_else(|| "too many".to_owned(), |sum| sum.to_string());
            Err(format!("--of-each: {found} lamps; there are {} sockets", room.sockets()))
        }
    }
}

/// The letter of each kind, and the kinds in the order in which they are shown.
fn signs(order: &AssignOrder, luck: &mut dyn FnMut() -> f64) -> (Vec<String>, Vec<usize>) {
    let kinds = order.lamps.len();
    let mut shown: Vec<usize> = (0..kinds).collect();
    if order.is_blind {
        shuffle(&mut shown, luck);
        let code = |kind: usize| shown.iter().position(|other| *other == kind).map_or("", |place| CODES[place]);
        return ((0..kinds).map(|kind| code(kind).to_owned()).collect(), shown);
    }
    // the first letters of the names, if they tell the lamps apart
    let first = |lamp: &WantedLamp| lamp.name.trim_start().chars().next().filter(char::is_ascii_alphabetic);
    let letters: Vec<Option<char>> =
        order.lamps.iter().map(|lamp| first(lamp).map(|c| c.to_ascii_uppercase())).collect();
    let distinct = letters.iter().enumerate().all(|(k, letter)| letter.is_some() && !letters[..k].contains(letter));
    let sign = |kind: usize| match letters[kind].filter(|_| distinct) {
        Some(letter) => letter.to_string(),
        None => ('A'..='Z').nth(kind).map_or_else(String::new, String::from),
    };
    ((0..kinds).map(sign).collect(), shown)
}

/// How even the kinds hang, sockets row by row.
fn evenness(room: &Room, kinds: &[Option<usize>], lamps: &[AssignLamp]) -> Evenness {
    let total = room.sockets() as f64;
    let all_ends = (0..room.sockets()).filter(|socket| room.is_end(*socket)).count() as f64;
    let of = |(kind, lamp): (usize, &AssignLamp)| {
        let here: Vec<usize> = (0..room.sockets()).filter(|socket| kinds[*socket] == Some(kind)).collect();
        let rows = 0..room.rows();
        let count = lamp.count as f64;
        let mean = |of: &dyn Fn((usize, usize)) -> usize| {
            here.iter().map(|socket| of(room.spot(*socket)) as f64 + 1.0).sum::<f64>() / count
        };
        let ends = here.iter().filter(|socket| room.is_end(**socket)).count();
        EvenLamp {
            by_row: rows.clone().map(|row| here.iter().filter(|socket| room.spot(**socket).0 == row).count()).collect(),
            row_shares: rows.map(|row| room.length(row) as f64 * count / total).collect(),
            ends,
            ends_share: all_ends * count / total,
            middle: here.len() - ends,
            mean_row: mean(&|spot| spot.0),
            mean_place: mean(&|spot| spot.1),
        }
    };
    let lamps: Vec<EvenLamp> = lamps.iter().enumerate().map(of).collect();
    let gap = |of: &dyn Fn(&EvenLamp) -> f64| {
        let (low, high) = lamps
            .iter()
            .map(of)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        high - low
    };
    let off_rows = lamps
        .iter()
        .flat_map(|lamp| lamp.by_row.iter().zip(&lamp.row_shares).map(|(count, share)| (*count as f64 - share).abs()));
    Evenness {
        worst_row: off_rows.fold(0.0, f64::max),
        worst_ends: lamps.iter().map(|lamp| (lamp.ends as f64 - lamp.ends_share).abs()).fold(0.0, f64::max),
        row_gap: gap(&|lamp| lamp.mean_row),
        place_gap: gap(&|lamp| lamp.mean_place),
        lamps,
    }
}

/// What the lamps cost more than as many of the first; none unless all have a price.
fn cost(order: &AssignOrder, counts: &[usize]) -> Option<AssignCost> {
    let currency = order.currency.clone()?;
    let prices: Vec<f64> = order.lamps.iter().map(|lamp| lamp.price).collect::<Option<_>>()?;
    let first = *prices.first()?;
    let sum = |price: &dyn Fn(usize) -> f64| counts.iter().enumerate().map(|(k, n)| *n as f64 * price(k)).sum::<f64>();
    Some(AssignCost {
        currency,
        instead_of: order.lamps.first()?.name.clone(),
        lamps: sum(&|kind| prices[kind]),
        extra: sum(&|kind| prices[kind] - first),
        prices: if order.is_blind { vec![] } else { prices.clone() },
    })
}

#[cfg(test)]
mod tests;
