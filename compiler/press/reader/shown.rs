//! Pictures as the typesetter has them: which file it is, and how it is drawn.

use typst::foundations::Bytes;
use typst::layout::{Size, Transform};
use typst::visualize::{Image, ImageKind};

/// A picture on a leaf.
#[derive(Debug, Clone)]
pub struct Shown {
    /// The file, as it was read; `None` for a kind that keeps no bytes.
    pub bytes: Option<Bytes>,
    /// How much wider it is drawn than its own proportions say, from its height; 1 where they are kept.
    pub stretch: f64,
    pub mirrored: bool,
    /// Not level, or not upright.
    pub turned: bool,
}

/// How far a picture may lean, as a share of its size: nobody sees less.
const LEANING: f64 = 0.03;

pub fn shown(image: &Image, size: Size, here: Transform) -> Shown {
    let bytes = match image.kind() {
        ImageKind::Raster(raster) => Some(raster.data().clone()),
        ImageKind::Svg(svg) => Some(svg.data().clone()),
        ImageKind::Pdf(_) => None,
    };
    let (sx, kx, ky, sy) = (here.sx.get(), here.kx.get(), here.ky.get(), here.sy.get());
    let wide = size.x.to_pt() * f64::hypot(sx, ky);
    let high = size.y.to_pt() * f64::hypot(kx, sy);
    let own = image.width() / image.height();
    Shown {
        bytes,
        stretch: if wide > 0.0 && high > 0.0 && own > 0.0 {
            wide / high / own
        } else {
            1.0
        },
        mirrored: sx * sy - kx * ky < 0.0,
        turned: sx.min(sy) < 0.0 || kx.abs().max(ky.abs()) > LEANING * sx.max(sy),
    }
}
