//! A small deterministic source of chance (`SplitMix64`: Steele, Lea and Flood, "Fast splittable
//! pseudorandom number generators", OOPSLA 2014), so that a seed always gives the same history.

#[derive(Debug)]
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        let wide = u64::try_from(high - low).expect("low is not above high") + 1;
        low + i64::try_from(self.roll() % wide).expect("a small span")
    }

    /// True `percent` times in a hundred.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of them.
    pub fn pick<T: Clone>(&mut self, from: &[T]) -> T {
        let last = i64::try_from(from.len()).expect("a short list") - 1;
        from[usize::try_from(self.between(0, last)).expect("an index")].clone()
    }

    /// One of them, if there is any.
    pub fn pick_any<T: Clone>(&mut self, from: &[T]) -> Option<T> {
        (!from.is_empty()).then(|| self.pick(from))
    }

    /// An amount in pence, often of whole pounds, up to `pounds`; at least a penny.
    pub fn amount(&mut self, pounds: i64) -> i64 {
        if self.chance(50) { self.between(1, pounds) * 100 } else { self.between(1, pounds * 100) }
    }
}
