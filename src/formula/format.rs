//! The one rounding rule: how a number becomes digits, here and (line for line) in the browser's script.
//!
//! The shortest decimal digits that stand for the number are taken to twelve significant figures, which hides what binary
//! arithmetic leaves in the last places, then rounded, half away from zero, to what is shown. So 2.675 at two decimals is
//! 2.68, as by hand, though the binary number nearest to 2.675 lies below it.

/// How many digits are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Digits {
    /// At most so many significant figures; zeros at the end of the decimals are dropped.
    Significant(u8),
    /// Just so many decimals.
    Decimals(u8),
}

impl Default for Digits {
    fn default() -> Self {
        Self::Significant(3)
    }
}

/// Figures for what the reader typed: all that people write, none of the binary noise.
pub(super) const TYPED: Digits = Digits::Significant(9);

/// Stands between groups of three digits from five digits on: a narrow space that does not break.
pub const GROUP: char = '\u{202f}';

/// Figures that survive the first rounding.
const RELIABLE: i32 = 12;

/// The digits of a number: `0.123 × 10^point`.
struct Figures {
    digits: Vec<u8>,
    point: i32,
}

/// A number as readers see it, with `−` for minus; numbers of more than fifteen digits, and tiny ones where significant figures
/// are asked for, as `1.5 × 10⁻⁷`. An infinite number, which no step gives, is `∞`.
pub fn format(number: f64, digits: Digits) -> String {
    if !number.is_finite() {
        return "∞".into();
    }
    let mut figures = Figures::of(number.abs());
    figures.round(RELIABLE);
    match digits {
        Digits::Significant(count) => figures.round(i32::from(count)),
        Digits::Decimals(count) => figures.round(figures.point + i32::from(count)),
    }
    let zero = figures.digits.is_empty();
    let tiny = matches!(digits, Digits::Significant(_)) && figures.point < -5;
    let body = if !zero && (figures.point > 15 || tiny) { figures.power_of_ten() } else { figures.plain(digits) };
    if number < 0.0 && !zero { format!("−{body}") } else { body }
}

impl Figures {
    fn of(number: f64) -> Self {
        if number == 0.0 {
            return Self { digits: Vec::new(), point: 0 };
        }
        let text = format!("{number:e}");
        let (digits, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let digits = digits.bytes().filter(u8::is_ascii_digit).map(|digit| digit - b'0').collect();
        Self { digits, point: exponent.parse::<i32>().unwrap_or(0) + 1 }
    }

    /// Keeps so many digits, half up; zeros at the end go.
    fn round(&mut self, keep: i32) {
        if keep < 0 {
            self.digits.clear();
        } else if (keep as usize) < self.digits.len() {
            let up = self.digits[keep as usize] >= 5;
            self.digits.truncate(keep as usize);
            if up {
                while self.digits.last() == Some(&9) {
                    self.digits.pop();
                }
                match self.digits.last_mut() {
                    Some(digit) => *digit += 1,
                    None => {
                        self.digits.push(1);
                        self.point += 1;
                    }
                }
            }
        }
        while self.digits.last() == Some(&0) {
            self.digits.pop();
        }
    }

    /// The digit before which `at` digits of the number stand; zero outside.
    fn digit(&self, at: i32) -> char {
        let digit = usize::try_from(at).ok().and_then(|at| self.digits.get(at)).copied().unwrap_or(0);
        char::from(b'0' + digit)
    }

    fn plain(&self, digits: Digits) -> String {
        let whole = if self.digits.is_empty() { 0 } else { self.point.max(0) };
        let decimals = match digits {
            Digits::Decimals(count) => i32::from(count),
            Digits::Significant(_) if self.digits.is_empty() => 0,
            Digits::Significant(_) => (self.digits.len() as i32 - self.point).max(0),
        };
        let mut text = String::new();
        for at in 0..whole {
            if at > 0 && whole > 4 && (whole - at) % 3 == 0 {
                text.push(GROUP);
            }
            text.push(self.digit(at));
        }
        if whole == 0 {
            text.push('0');
        }
        if decimals > 0 {
            text.push('.');
            text.extend((0..decimals).map(|at| if self.digits.is_empty() { '0' } else { self.digit(self.point + at) }));
        }
        text
    }

    fn power_of_ten(&self) -> String {
        let mut text = String::from(self.digit(0));
        if self.digits.len() > 1 {
            text.push('.');
            text.extend((1..self.digits.len() as i32).map(|at| self.digit(at)));
        }
        text.push_str("\u{a0}×\u{a0}10");
        for sign in (self.point - 1).to_string().chars() {
            text.push(match sign {
                '-' => '⁻',
                '1' => '¹',
                '2' => '²',
                '3' => '³',
                digit => digit.to_digit(10).and_then(|value| char::from_u32(0x2070 + value)).unwrap_or(digit),
            });
        }
        text
    }
}
