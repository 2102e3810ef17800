//! Spans of times of day: "21:00–23:15" instead of ten starts, over midnight as well.
//!
//! Belongs here: compressing lists of times. Does not belong here: which times they are.

const DAY: u16 = 24 * 60;

/// Minutes after midnight of HH:MM; nothing for what is no such time.
pub(crate) fn minutes(text: &str) -> Option<u16> {
    let (hours, minutes) = text.split_once(':')?;
    let (hours, minutes): (u16, u16) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours < 24 && minutes < 60).then_some(hours * 60 + minutes)
}

/// Spans of starts that follow each other by `step` minutes, both ends included, in the order of the day; the one over
/// midnight stands last.
pub(super) fn of_starts(starts: &[String], step: u16) -> Vec<String> {
    let starts: Vec<u16> = starts.iter().filter_map(|start| minutes(start)).collect();
    let clock = |minutes: u16| format!("{:02}:{:02}", minutes / 60, minutes % 60);
    runs(&starts, step, DAY)
        .into_iter()
        .map(|(from, to)| if from == to { clock(from) } else { format!("{}–{}", clock(from), clock(to)) })
        .collect()
}

/// Spans of hours of the day, the end not included: "21–09".
pub(crate) fn of_hours(hours: &[u16]) -> Vec<String> {
    let whole = |(from, to): (u16, u16)| if (to + 1) % 24 == from { (0, 24) } else { (from, (to + 1) % 24) };
    let named = |(from, to): (u16, u16)| format!("{from:02}–{:02}", if to == 0 { 24 } else { to });
    runs(hours, 1, 24).into_iter().map(whole).map(named).collect()
}

/// Runs of points on a circle that follow each other by `step`: first and last point of each.
pub(crate) fn runs(points: &[u16], step: u16, circle: u16) -> Vec<(u16, u16)> {
    let mut points = points.to_vec();
    points.sort_unstable();
    points.dedup();
    let mut runs: Vec<(u16, u16)> = vec![];
    for point in points {
        match runs.last_mut() {
            Some(run) if run.1 + step == point => run.1 = point,
            _ => runs.push((point, point)),
        }
    }
    if let (Some(&first), Some(&last)) = (runs.first(), runs.last())
        && runs.len() > 1
        && last.1 + step == first.0 + circle
    {
        runs.remove(0);
        if let Some(run) = runs.last_mut() {
            run.1 = first.1;
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spans(starts: &[&str], step: u16) -> Vec<String> {
        of_starts(&starts.iter().map(|&start| start.to_owned()).collect::<Vec<_>>(), step)
    }

    #[test]
    fn starts_become_spans_over_midnight_too() {
        assert_eq!(spans(&["21:00", "21:15", "21:30"], 15), ["21:00–21:30"]);
        assert_eq!(spans(&["00:00", "00:15", "06:00", "23:45"], 15), ["06:00", "23:45–00:15"]);
        assert_eq!(spans(&["00:00", "00:15"], 5), ["00:00", "00:15"]);
        assert_eq!(spans(&[], 15), [""; 0]);
        assert_eq!(spans(&["what", "24:00", "1:60", "05:00"], 15), ["05:00"]);
        let all: Vec<String> = (0..24).map(|hour| format!("{hour:02}:00")).collect();
        assert_eq!(of_starts(&all, 60), ["00:00–23:00"]);
    }

    #[test]
    fn hours_become_spans_that_end_where_the_next_begins() {
        assert_eq!(of_hours(&[21, 22, 23, 0, 1, 8]), ["08–09", "21–02"]);
        assert_eq!(of_hours(&[22, 23]), ["22–24"]);
        assert_eq!(of_hours(&[0]), ["00–01"]);
        assert_eq!(of_hours(&(0..24).collect::<Vec<_>>()), ["00–24"]);
        assert_eq!(of_hours(&(1..24).collect::<Vec<_>>()), ["01–24"]);
    }
}
