//! CIELAB coordinates of a colour given as `#rrggbb`.
//!
//! sRGB to CIE XYZ by IEC 61966-2-1:1999; XYZ (D65) to CIELAB by ISO/CIE 11664-4:2019.

/// CIELAB coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// Lightness, 0 black to 100 white.
    pub lightness: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}

impl Lab {
    /// Chroma: the distance from grey.
    pub fn chroma(self) -> f64 {
        self.a.hypot(self.b)
    }

    /// From lightness, chroma and hue angle in degrees.
    pub fn from_polar(lightness: f64, chroma: f64, hue: f64) -> Self {
        let (sin, cos) = hue.to_radians().sin_cos();
        Self { lightness, a: chroma * cos, b: chroma * sin }
    }

    /// The CIE 1976 difference to another colour (ISO/CIE 11664-4).
    pub fn distance(self, other: Self) -> f64 {
        (self.lightness - other.lightness).hypot(self.a - other.a).hypot(self.b - other.b)
    }
}

/// Reads `#rrggbb` or `#rgb`; nothing if it is neither.
///
/// ```
/// let white = washfast::colour::from_hex("#ffffff").map(|c| c.lightness.round());
/// assert_eq!(white, Some(100.0));
/// assert_eq!(washfast::colour::from_hex("#12345"), None);
/// ```
pub fn from_hex(text: &str) -> Option<Lab> {
    let digits = text.strip_prefix('#')?;
    let wide: String = match digits.len() {
        3 => digits.chars().flat_map(|c| [c, c]).collect(),
        6 => digits.to_owned(),
        _ => return None,
    };
    let channel = |at: usize| {
        let value = u8::from_str_radix(wide.get(at..at + 2)?, 16).ok()?;
        let v = f64::from(value) / 255.0;
        Some(if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) })
    };
    let (r, g, b) = (channel(0)?, channel(2)?, channel(4)?);
    let x = 0.4124 * r + 0.3576 * g + 0.1805 * b;
    let y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    let z = 0.0193 * r + 0.1192 * g + 0.9505 * b;
    // The white point is that of the matrix itself, so that white has no chroma.
    let (fx, fy, fz) = (curve(x / 0.9505), curve(y), curve(z / 1.0890));
    Some(Lab { lightness: 116.0 * fy - 16.0, a: 500.0 * (fx - fy), b: 200.0 * (fy - fz) })
}

fn curve(t: f64) -> f64 {
    let delta: f64 = 6.0 / 29.0;
    if t > delta.powi(3) { t.cbrt() } else { t / (3.0 * delta * delta) + 4.0 / 29.0 }
}
