//! Geometry of a mesh, and what follows from it for the ink and the picture.
//!
//! Mesh is written as threads per centimetre and thread diameter: 43-80 has 43 threads of 80 µm each centimetre.

use super::range::Range;
use super::units::{
    LinesPerCm, Micrometres, MillilitresPerSquareMetre, Ratio, Share, ThreadsPerCm, ThreadsPerInch, Unit,
};
use std::f64::consts::PI;

/// Threads each inch: 1 in is 2.54 cm exactly (international yard and pound agreement, 1959, from memory).
///
/// ```
/// use washfast::sums::mesh::per_inch;
/// use washfast::sums::units::{ThreadsPerCm, ThreadsPerInch};
/// assert_eq!(per_inch(ThreadsPerCm(120.0)), Some(ThreadsPerInch(304.8)));
/// ```
pub fn per_inch(threads: ThreadsPerCm) -> Option<ThreadsPerInch> {
    ThreadsPerInch::made(threads.above_zero()? * 2.54)
}

/// Threads each centimetre; see [`per_inch`].
///
/// ```
/// use washfast::sums::mesh::per_cm;
/// use washfast::sums::units::{ThreadsPerCm, ThreadsPerInch};
/// assert_eq!(per_cm(ThreadsPerInch(127.0)), Some(ThreadsPerCm(50.0)));
/// ```
pub fn per_cm(threads: ThreadsPerInch) -> Option<ThreadsPerCm> {
    ThreadsPerCm::made(threads.above_zero()? / 2.54)
}

/// Distance from thread to thread: 10 000 µm divided by the threads of a centimetre (definition of pitch for woven
/// cloth: ISO 2395, Test sieves and test sieving, Vocabulary, ISO, 1990, from memory).
///
/// ```
/// use washfast::sums::mesh::pitch;
/// use washfast::sums::units::{Micrometres, ThreadsPerCm};
/// assert_eq!(pitch(ThreadsPerCm(100.0)), Some(Micrometres(100.0)));
/// ```
pub fn pitch(threads: ThreadsPerCm) -> Option<Micrometres> {
    Micrometres::made(10_000.0 / threads.above_zero()?)
}

/// Opening between two threads: pitch less the thread; `None` where the threads would touch (ISO 9044, Industrial woven
/// wire cloth, ISO, 2016, read second hand).
///
/// The diameter of a catalogue is that of the thread before weaving, without tension: openings measured on the mesh
/// differ from this by about 2 µm.
///
/// ```
/// use washfast::sums::mesh::opening;
/// use washfast::sums::units::{Micrometres, ThreadsPerCm};
/// assert_eq!(opening(ThreadsPerCm(100.0), Micrometres(40.0)), Some(Micrometres(60.0)));
/// assert_eq!(opening(ThreadsPerCm(100.0), Micrometres(100.0)), None);
/// ```
pub fn opening(threads: ThreadsPerCm, thread: Micrometres) -> Option<Micrometres> {
    Micrometres::made(pitch(threads)?.0 - thread.above_zero()?).filter(|w| w.0 > 0.0)
}

/// Part of the area that is open: the square of opening by pitch (ISO 9044, Industrial woven wire cloth, ISO, 2016, read
/// second hand).
///
/// ```
/// use washfast::sums::mesh::open_area;
/// use washfast::sums::units::{Micrometres, Share, ThreadsPerCm};
/// assert_eq!(open_area(ThreadsPerCm(100.0), Micrometres(40.0)), Some(Share(0.36)));
/// ```
pub fn open_area(threads: ThreadsPerCm, thread: Micrometres) -> Option<Share> {
    Share::made((opening(threads, thread)?.0 / pitch(threads)?.0).powi(2))
}

/// Thickness of the woven mesh where nobody wrote it down: threads cross, so that it lies between one and two diameters.
///
/// From 43 threads/cm on 1.47 to 1.63 diameters, of coarser mesh 1.6 to 1.85. Published pairs of fine mesh give 1.47 to
/// 1.58 (How much ink do you need?, Screen Printing magazine, 2000; Mesh matters, Screen Printing magazine, 2009), the
/// first of them takes 1.82 for coarse mesh; 1.63 is a pair from memory.
///
/// ```
/// use washfast::sums::mesh::unknown_thickness;
/// use washfast::sums::units::{Micrometres, ThreadsPerCm};
/// let thickness = unknown_thickness(ThreadsPerCm(32.0), Micrometres(100.0)).unwrap();
/// assert_eq!((thickness.low, thickness.high), (Micrometres(160.0), Micrometres(185.0)));
/// ```
pub fn unknown_thickness(threads: ThreadsPerCm, thread: Micrometres) -> Option<Range<Micrometres>> {
    opening(threads, thread)?;
    let (low, high) = if threads.0 < 43.0 { (1.6, 1.85) } else { (1.47, 1.63) };
    Range::new(Micrometres::made(low * thread.0)?, Micrometres::made(high * thread.0)?)
}

/// Ink that the open cells of the mesh hold: open area times thickness. A ceiling: a print takes part of it, and the
/// stencil adds to it (common practice; the same sum on a wire-cloth maker's page of definitions).
///
/// Not to be mixed with [`wet_film`], which may be above or below it.
///
/// ```
/// use washfast::sums::mesh::theoretical_volume;
/// use washfast::sums::units::{Micrometres, MillilitresPerSquareMetre, ThreadsPerCm};
/// let volume = theoretical_volume(ThreadsPerCm(100.0), Micrometres(40.0), Micrometres(60.0)).unwrap();
/// assert!((volume.0 - 21.6).abs() < 1e-9);
/// ```
pub fn theoretical_volume(
    threads: ThreadsPerCm,
    thread: Micrometres,
    thickness: Micrometres,
) -> Option<MillilitresPerSquareMetre> {
    // 1 µm on 1 m² is 1 ml.
    MillilitresPerSquareMetre::made(open_area(threads, thread)?.0 * thickness.above_zero()?)
}

/// Wet film that a plain-weave mesh lays down, by the table of a trade article (How much ink do you need?, Screen Printing
/// magazine, 2000, table 1): up to 42 threads/cm 1.82 d (1 - M d)², 43 to 139 threads/cm 0.285 of the thickness, from 140
/// on 0.35 of it; d is the thread, M the threads each µm.
///
/// The table jumps by a factor of two between 42 and 43 threads/cm: near it, weigh a print instead. Not to be mixed with
/// [`theoretical_volume`].
///
/// ```
/// use washfast::sums::mesh::wet_film;
/// use washfast::sums::units::{Micrometres, ThreadsPerCm};
/// let film = wet_film(ThreadsPerCm(120.0), Micrometres(34.0), Micrometres(50.0)).unwrap();
/// assert!((film.0 - 14.25).abs() < 1e-9);
/// ```
pub fn wet_film(threads: ThreadsPerCm, thread: Micrometres, thickness: Micrometres) -> Option<Micrometres> {
    opening(threads, thread)?;
    let thickness = thickness.above_zero()?;
    Micrometres::made(match threads.0 {
        ..43.0 => 1.82 * thread.0 * (1.0 - threads.0 / 10_000.0 * thread.0).powi(2),
        ..140.0 => 0.285 * thickness,
        _ => 0.35 * thickness,
    })
}

/// How far a stencil stands above the mesh: a part of how thick the mesh is (definition: emulsion over mesh).
///
/// ```
/// use washfast::sums::mesh::stencil_above;
/// use washfast::sums::units::{Micrometres, Ratio};
/// assert_eq!(stencil_above(Micrometres(100.0), Ratio(0.25)), Some(Micrometres(25.0)));
/// ```
pub fn stencil_above(thickness: Micrometres, part: Ratio) -> Option<Micrometres> {
    Micrometres::made(thickness.above_zero()? * part.above_zero()?)
}

/// Finest line, and finest dot, that a mesh holds: two threads and the opening between them, so that the piece of stencil
/// or the gap in it never hangs on a single thread (from memory, a rule of thumb: sharp stencils on tight mesh do
/// better, rough cloth does worse).
///
/// ```
/// use washfast::sums::mesh::finest_line;
/// use washfast::sums::units::{Micrometres, ThreadsPerCm};
/// assert_eq!(finest_line(ThreadsPerCm(100.0), Micrometres(40.0)), Some(Micrometres(140.0)));
/// ```
pub fn finest_line(threads: ThreadsPerCm, thread: Micrometres) -> Option<Micrometres> {
    Micrometres::made(opening(threads, thread)?.0 + 2.0 * thread.0)
}

/// Tone of a round halftone dot of this size in this ruling: its area in its cell, π/4 (size × ruling)²; `None` where dots
/// would touch (geometry).
///
/// With [`finest_line`] as the size it is the lightest tone that a mesh holds.
///
/// ```
/// use washfast::sums::mesh::dot_tone;
/// use washfast::sums::units::{LinesPerCm, Micrometres};
/// let tone = dot_tone(Micrometres(100.0), LinesPerCm(25.0)).unwrap();
/// assert!((tone.0 - 0.0491).abs() < 1e-4);
/// ```
pub fn dot_tone(size: Micrometres, ruling: LinesPerCm) -> Option<Share> {
    let across = size.above_zero()? / 10_000.0 * ruling.above_zero()?;
    (across <= 1.0).then(|| Share::made(PI / 4.0 * across.powi(2))).flatten()
}

/// Threads that a halftone of a ruling needs: so many times its lines. The usual ratios are 3.5 and 4, and neither keeps
/// every pattern away (All things are not as they appear, Screen Printing magazine, undated).
///
/// ```
/// use washfast::sums::mesh::mesh_for_ruling;
/// use washfast::sums::units::{LinesPerCm, Ratio, ThreadsPerCm};
/// assert_eq!(mesh_for_ruling(LinesPerCm(25.0), Ratio(4.0)), Some(ThreadsPerCm(100.0)));
/// ```
pub fn mesh_for_ruling(ruling: LinesPerCm, ratio: Ratio) -> Option<ThreadsPerCm> {
    ThreadsPerCm::made(ruling.above_zero()? * ratio.above_zero()?)
}

/// Coarsest flake or bead that passes an opening without blocking it: it fits across two and a half to three times; see
/// [`flakes_across`].
///
/// ```
/// use washfast::sums::mesh::coarsest_flake;
/// use washfast::sums::units::Micrometres;
/// let flake = coarsest_flake(Micrometres(210.0)).unwrap();
/// assert_eq!((flake.low, flake.high), (Micrometres(70.0), Micrometres(84.0)));
/// ```
pub fn coarsest_flake(opening: Micrometres) -> Option<Range<Micrometres>> {
    let opening = opening.above_zero()?;
    Range::new(Micrometres::made(opening / 3.0)?, Micrometres::made(opening / 2.5)?)
}

/// How many times a flake or bead fits across an opening: 2.5 to 3 times keep a screen open (Glitter printing, questions
/// and answers, Serigrafia, undated, gives a mesh and a flake that come to 3.0).
///
/// ```
/// use washfast::sums::mesh::flakes_across;
/// use washfast::sums::units::{Micrometres, Ratio};
/// assert_eq!(flakes_across(Micrometres(210.0), Micrometres(70.0)), Some(Ratio(3.0)));
/// ```
pub fn flakes_across(opening: Micrometres, flake: Micrometres) -> Option<Ratio> {
    Ratio::made(opening.above_zero()? / flake.above_zero()?)
}
