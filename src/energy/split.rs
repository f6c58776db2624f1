//! Many hours in classes of like ones, where they differ in several things at once.

/// The class that is widest is split in two, along what it is widest in, until there are `most` or all
/// are alike.
///
/// `figures` gives what hours differ in, as many for each, in steps that matter alike; `weighs` how much
/// an hour matters.
pub(super) fn split_up<T>(
    hours: Vec<T>,
    most: usize,
    figures: impl Fn(&T) -> Vec<f64>,
    weighs: impl Fn(&T) -> f64,
) -> Vec<Vec<T>> {
    let told = |hour: T| Told { figures: figures(&hour), weight: weighs(&hour), hour };
    let mut classes = vec![Class::of(hours.into_iter().map(told).collect())];
    while classes.len() < most {
        let widths = classes.iter().map(|class| class.width).enumerate();
        let Some((at, width)) = widths.reduce(|a, b| if b.1 > a.1 { b } else { a }) else { break };
        if width <= 0.0 {
            break;
        }
        let Class { along, middle, hours, .. } = classes.swap_remove(at);
        let (below, above) = hours.into_iter().partition(|h| h.figures[along] < middle);
        classes.extend([Class::of(below), Class::of(above)]);
    }
    let hours = |class: Class<T>| class.hours.into_iter().map(|told| told.hour).collect();
    classes.into_iter().map(hours).collect()
}

/// An hour and what it differs in.
struct Told<T> {
    hour: T,
    figures: Vec<f64>,
    weight: f64,
}

struct Class<T> {
    hours: Vec<Told<T>>,
    /// How far it reaches at most, and in which figure.
    width: f64,
    along: usize,
    /// Its mean there.
    middle: f64,
}

impl<T> Class<T> {
    fn of(hours: Vec<Told<T>>) -> Self {
        let weight: f64 = hours.iter().map(|h| h.weight).sum();
        let n_figures = hours.first().map_or(0, |h| h.figures.len());
        let (mut width, mut along, mut middle) = (0.0, 0, 0.0);
        for k in 0..n_figures {
            let mean = hours.iter().map(|h| h.weight * h.figures[k]).sum::<f64>() / weight;
            let squares = hours.iter().map(|h| h.weight * (h.figures[k] - mean).powi(2));
            let spread: f64 = squares.sum();
            // What differs by rounding alone is not split.
            if spread > width && spread > 1e-9 * weight {
                (width, along, middle) = (spread, k, mean);
            }
        }
        Self { hours, width, along, middle }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widest_is_split_first_and_hours_alike_stay_together() {
        let hours = vec![(0.0, 1.0), (0.1, 1.0), (5.0, 1.0), (5.1, 3.0), (5.1, 3.0)];
        let split = |most| {
            let classes = split_up(hours.clone(), most, |h| vec![h.0, h.1], |_| 1.0);
            let mut sizes: Vec<usize> = classes.iter().map(Vec::len).collect();
            sizes.sort_unstable();
            sizes
        };
        assert_eq!(split(1), [5]);
        assert_eq!(split(2), [2, 3]);
        assert_eq!(split(3), [1, 2, 2]);
        assert_eq!(split(100), [1, 1, 1, 2], "two hours are the same");
        assert!(split_up(Vec::<f64>::new(), 3, |h| vec![*h], |_| 1.0).iter().all(Vec::is_empty));
    }
}
