//! What a trader's own cars have cost over and above their price: those of one make when there are
//! enough of them to say anything, else all.

use crate::domain::figures::lessons::ENOUGH_CARS;
use crate::domain::value::pence::Pence;

/// Costs of past cars, the least first; never none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenCosts {
    costs: Vec<Pence>,
    make: Option<String>,
}

impl SeenCosts {
    /// The costs of cars of `make`, or of all where there are fewer than five of it. None without a
    /// single car.
    pub fn from_cars(cars: impl Iterator<Item = (Option<String>, Pence)>, make: Option<&str>) -> Option<Self> {
        let cars: Vec<(Option<String>, Pence)> = cars.collect();
        let alike = |known: &Option<String>, wanted: &str| {
            known.as_ref().is_some_and(|known| known.to_lowercase() == wanted.to_lowercase())
        };
        let of_make = |wanted: &str| cars.iter().filter(|(known, _)| alike(known, wanted)).count();
        let make = make.filter(|wanted| of_make(wanted) >= ENOUGH_CARS);
        let wanted = cars.iter().filter(|(known, _)| make.is_none_or(|wanted| alike(known, wanted)));
        let mut costs: Vec<Pence> = wanted.map(|(_, costs)| *costs).collect();
        costs.sort_unstable();
        (!costs.is_empty()).then(|| Self { costs, make: make.map(str::to_owned) })
    }

    /// Each car's, the least first.
    pub fn costs(&self) -> &[Pence] {
        &self.costs
    }

    /// The make they are of; none for all.
    pub fn make(&self) -> Option<&str> {
        self.make.as_deref()
    }

    /// The middle one; of an even number the mean of the two in the middle, half a penny up.
    pub fn median(&self) -> Pence {
        let middle = self.costs.len() / 2;
        let at = |n: usize| self.costs.get(n).copied().unwrap_or_default();
        if self.costs.len() % 2 == 1 {
            at(middle)
        } else {
            let both = (at(middle.saturating_sub(1)) + at(middle)).get();
            Pence::new(both.div_euclid(2) + both.rem_euclid(2))
        }
    }

    /// The least and the most.
    pub fn range(&self) -> (Pence, Pence) {
        (self.costs.first().copied().unwrap_or_default(), self.costs.last().copied().unwrap_or_default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(cars: &[(&str, i64)], make: Option<&str>) -> Option<(Option<String>, i64, usize)> {
        let cars = cars.iter().map(|(make, pence)| (Some((*make).to_owned()), Pence::new(*pence)));
        SeenCosts::from_cars(cars, make)
            .map(|seen| (seen.make().map(str::to_owned), seen.median().get(), seen.costs().len()))
    }

    #[test]
    fn a_make_speaks_for_itself_from_five_cars_on() {
        let mut cars = vec![("Brindle", 100), ("brindle", 200), ("Brindle", 300), ("Brindle", 401), ("Pell", 9_000)];
        assert_eq!(seen(&cars, Some("Brindle")), Some((None, 300, 5)));
        cars.push(("BRINDLE", 500));
        assert_eq!(seen(&cars, Some("Brindle")), Some((Some("Brindle".into()), 300, 5)));
        assert_eq!(seen(&cars, None), Some((None, 351, 6)));
        assert_eq!(seen(&[], None), None);
    }
}
