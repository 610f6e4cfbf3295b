//! What an expression gives, before anything is measured: its dimension and how many figures.

use super::error::{CalcError, CalcErrorKind};
use super::parse::{Function, Node, NodeKind, Operator};
use crate::quantity::{Dimension, Measure, Unit};
use std::fmt;

/// Powers of metre, kilogram, second, ampere, kelvin and radian: a dimension that a product may have whether or not it has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Powers([i8; 6]);

impl Powers {
    /// Of a plain number.
    pub const NONE: Powers = Powers([0; 6]);

    pub fn of(dimension: Dimension) -> Powers {
        Powers(match dimension {
            Dimension::Torque => [2, 1, -2, 0, 0, 0],
            Dimension::Length => [1, 0, 0, 0, 0, 0],
            Dimension::Angle => [0, 0, 0, 0, 0, 1],
            Dimension::Pressure => [-1, 1, -2, 0, 0, 0],
            Dimension::Temperature | Dimension::TemperatureDifference => [0, 0, 0, 0, 1, 0],
            Dimension::Mass => [0, 1, 0, 0, 0, 0],
            Dimension::Volume => [3, 0, 0, 0, 0, 0],
            Dimension::Force => [1, 1, -2, 0, 0, 0],
            Dimension::Time => [0, 0, 1, 0, 0, 0],
            Dimension::RotationalSpeed => [0, 0, -1, 0, 0, 1],
            Dimension::Speed => [1, 0, -1, 0, 0, 0],
            Dimension::Voltage => [2, 1, -3, -1, 0, 0],
            Dimension::Resistance => [2, 1, -3, -2, 0, 0],
            Dimension::Current => [0, 0, 0, 1, 0, 0],
            Dimension::Area => [2, 0, 0, 0, 0, 0],
            // A torque at a rotational speed, with the radian of that.
            Dimension::Power => [2, 1, -3, 0, 0, 1],
            Dimension::Frequency => [0, 0, -1, 0, 0, 0],
            Dimension::Flow => [3, 0, -1, 0, 0, 0],
            Dimension::Stiffness => [0, 1, -2, 0, 0, 0],
            Dimension::Capacitance => [-2, -1, 4, 2, 0, 0],
            Dimension::KinematicViscosity => [2, 0, -1, 0, 0, 0],
            Dimension::DynamicViscosity => [-1, 1, -1, 0, 0, 0],
            Dimension::LinearDensity => [-1, 1, 0, 0, 0, 0],
            // A torque turned through an angle: the radian keeps it apart from a torque.
            Dimension::Energy => [2, 1, -2, 0, 0, 1],
            // No product makes a hardness, and no two scales meet: powers that nothing else has.
            Dimension::RockwellC => [101, 0, 0, 0, 0, 0],
            Dimension::RockwellB => [103, 0, 0, 0, 0, 0],
            Dimension::Brinell => [107, 0, 0, 0, 0, 0],
            Dimension::Vickers => [109, 0, 0, 0, 0, 0],
            Dimension::ShoreA => [113, 0, 0, 0, 0, 0],
            Dimension::ShoreD => [127, 0, 0, 0, 0, 0],
            Dimension::Ratio | Dimension::Slope => [0; 6],
        })
    }

    /// The dimension that has these powers, if one does. The radian is a plain number in SI, so a surplus one is left out (a rotational
    /// speed times a radius is a speed), and a power may come without its own (a voltage times a current, a force times a speed).
    pub fn dimension(self) -> Option<Dimension> {
        let exact = |powers| Dimension::ALL.into_iter().find(|d| Powers::of(*d) == powers);
        let Powers([m, kg, s, a, k, radians]) = self;
        let with = |radians| Powers([m, kg, s, a, k, radians]);
        let bare = with(0);
        exact(self).or_else(|| match radians {
            0 => exact(with(1)).filter(|d| *d == Dimension::Power),
            1.. if bare != Powers::NONE => exact(bare),
            _ => None,
        })
    }

    /// The powers of the dimension that these stand for; the same where they stand for none.
    pub(super) fn named(self) -> Powers {
        self.dimension().map_or(self, Powers::of)
    }

    /// Whether a result of these powers will do for a limit of a dimension. A force times a length is taken for a torque, so it
    /// passes for an energy too.
    pub fn serves(self, wanted: Dimension) -> bool {
        let own = self.named();
        own == Powers::of(wanted) || (wanted == Dimension::Energy && own == Powers::of(Dimension::Torque))
    }

    pub(super) fn times(self, other: Powers) -> Powers {
        let mut sum = self.0;
        sum.iter_mut().zip(other.0).for_each(|(a, b)| *a = a.saturating_add(b));
        Powers(sum)
    }

    pub(super) fn over(self, other: Powers) -> Powers {
        self.times(Powers(other.0.map(i8::saturating_neg)))
    }
}

impl fmt::Display for Powers {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        if *self == Powers::NONE {
            return f.write_str("a plain number");
        }
        if let Some(dimension) = self.dimension() {
            return dimension.fmt(f);
        }
        let units = ["m", "kg", "s", "A", "K", "rad"];
        let named = units.iter().zip(self.0).filter(|(_, power)| *power != 0);
        let parts: Vec<String> = named.map(|(unit, power)| format!("{unit}^{power}")).collect();
        f.write_str(&parts.join("·"))
    }
}

/// The coherent SI unit of a dimension; `None` for a share, which is a plain number.
pub(super) fn coherent(dimension: Dimension) -> Option<Unit> {
    Unit::find(match dimension {
        Dimension::Torque => "N·m",
        Dimension::Length => "m",
        Dimension::Angle => "rad",
        Dimension::Pressure => "Pa",
        Dimension::Temperature | Dimension::TemperatureDifference => "K",
        Dimension::Mass => "kg",
        Dimension::Volume => "m³",
        Dimension::Force => "N",
        Dimension::Time => "s",
        Dimension::RotationalSpeed => "rad/s",
        Dimension::Speed => "m/s",
        Dimension::Voltage => "V",
        Dimension::Resistance => "Ω",
        Dimension::Current => "A",
        Dimension::Area => "m²",
        Dimension::Power => "W",
        Dimension::Frequency => "Hz",
        Dimension::Flow => "m³/s",
        Dimension::Stiffness => "N/m",
        Dimension::Capacitance => "farad",
        Dimension::KinematicViscosity => "m²/s",
        Dimension::DynamicViscosity => "Pa·s",
        Dimension::Energy => "J",
        Dimension::LinearDensity => "kg/m",
        Dimension::RockwellC => "HRC",
        Dimension::RockwellB => "HRB",
        Dimension::Brinell => "HBW",
        Dimension::Vickers => "HV",
        Dimension::ShoreA => "Shore A",
        Dimension::ShoreD => "Shore D",
        Dimension::Ratio | Dimension::Slope => return None,
    })
}

/// What a value is: its dimension, and how its figures stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shape {
    pub powers: Powers,
    /// A temperature, as against a difference of two: its zero is arbitrary.
    pub point: bool,
    pub rows: usize,
    pub columns: usize,
}

impl Shape {
    /// Of so many readings of a measurement.
    pub fn readings(dimension: Dimension, rows: usize, columns: usize) -> Shape {
        Shape {
            powers: Powers::of(dimension),
            point: dimension == Dimension::Temperature,
            rows,
            columns,
        }
    }

    /// Of a figure as written.
    pub(super) fn literal(measure: &Measure) -> Shape {
        Shape::readings(measure.dimension(), 1, 1)
    }

    fn one(powers: Powers) -> Shape {
        Shape {
            powers,
            point: false,
            rows: 1,
            columns: 1,
        }
    }

    pub fn len(&self) -> usize {
        self.rows * self.columns
    }

    /// True if it is no figure at all.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn single(self) -> Shape {
        Shape {
            rows: 1,
            columns: 1,
            ..self
        }
    }
}

/// The shape of an expression. `of` gives that of a measurement by id, `None` if there is none; `result` is what the limit measures.
/// Every fault is found, not the first alone; a part with a fault is left out of the rest.
pub fn shape_of(node: &Node, of: &dyn Fn(&str) -> Option<Shape>, result: Dimension) -> (Option<Shape>, Vec<CalcError>) {
    let mut walk = Walk { of, faults: Vec::new() };
    let shape = walk.node(node);
    match shape {
        Some(shape) if !shape.powers.serves(result) => {
            walk.fault::<()>(node, CalcErrorKind::Result(shape.powers.to_string(), result));
        }
        Some(shape) if shape.point != (result == Dimension::Temperature) => {
            walk.fault::<()>(node, CalcErrorKind::Degrees(result));
        }
        _ => {}
    }
    (shape, walk.faults)
}

struct Walk<'a> {
    of: &'a dyn Fn(&str) -> Option<Shape>,
    faults: Vec<CalcError>,
}

impl Walk<'_> {
    fn fault<T>(&mut self, node: &Node, kind: CalcErrorKind) -> Option<T> {
        self.faults.push(CalcError::new(node.at.clone(), kind));
        None
    }

    fn node(&mut self, node: &Node) -> Option<Shape> {
        match &node.kind {
            NodeKind::Name(name) => match (self.of)(name) {
                Some(shape) => Some(shape),
                None => self.fault(node, CalcErrorKind::UnknownName(name.clone())),
            },
            NodeKind::Number(_) => Some(Shape::one(Powers::NONE)),
            NodeKind::Measure(measure) => Some(Shape::literal(measure)),
            NodeKind::Binary(operator, left, right) => {
                let (left, right) = (self.node(left), self.node(right));
                self.binary(node, *operator, left?, right?)
            }
            NodeKind::Call(function, values) => {
                let shapes: Vec<Option<Shape>> = values.iter().map(|value| self.node(value)).collect();
                let shapes: Option<Vec<Shape>> = shapes.into_iter().collect();
                self.call(node, *function, &shapes?)
            }
            NodeKind::Choose(_, of, sizes) => {
                let shape = self.node(of)?;
                let found = Powers::of(sizes.dimension());
                if shape.powers != found {
                    return self.mixed(node, shape.powers, found);
                }
                if shape.point != (sizes.dimension() == Dimension::Temperature) {
                    return self.fault(node, CalcErrorKind::Degrees(sizes.dimension()));
                }
                Some(shape)
            }
            NodeKind::Heat(size, growth, _, start) => {
                let shapes = [self.node(size), self.node(growth), self.node(start)];
                let wanted = [Dimension::Length, Dimension::Length, Dimension::Temperature];
                for (shape, wanted) in shapes.iter().zip(wanted) {
                    let powers = (*shape)?.powers;
                    if powers != Powers::of(wanted) {
                        return self.mixed(node, powers, Powers::of(wanted));
                    }
                }
                if !shapes[2]?.point {
                    return self.fault(node, CalcErrorKind::Degrees(Dimension::TemperatureDifference));
                }
                let (first, second) = (shapes[0]?.single(), shapes[2]?.single());
                let largest = shapes.iter().flatten().max_by_key(|s| s.len())?;
                if shapes
                    .iter()
                    .flatten()
                    .any(|s| s.len() != 1 && s.len() != largest.len())
                {
                    return self.fault(node, CalcErrorKind::Unpaired(first.len(), second.len()));
                }
                Some(Shape {
                    powers: Powers::of(Dimension::Temperature),
                    point: true,
                    ..*largest
                })
            }
        }
    }

    fn mixed<T>(&mut self, node: &Node, first: Powers, second: Powers) -> Option<T> {
        self.fault(node, CalcErrorKind::Mixed(first.to_string(), second.to_string()))
    }

    fn binary(&mut self, node: &Node, operator: Operator, left: Shape, right: Shape) -> Option<Shape> {
        let shape = self.paired(node, left, right)?;
        match operator {
            Operator::Plus | Operator::Minus => {
                if left.powers != right.powers {
                    return self.mixed(node, left.powers, right.powers);
                }
                let point = match (operator, left.point, right.point) {
                    (Operator::Plus, true, true) | (Operator::Minus, false, true) => {
                        return self.fault(node, CalcErrorKind::Temperature);
                    }
                    (Operator::Minus, true, true) => false,
                    (_, left, right) => left || right,
                };
                Some(Shape { point, ..shape })
            }
            Operator::Times | Operator::Over => {
                if left.point || right.point {
                    return self.fault(node, CalcErrorKind::Temperature);
                }
                let powers = match operator {
                    Operator::Times => left.powers.times(right.powers).named(),
                    _ => left.powers.over(right.powers).named(),
                };
                Some(Shape { powers, ..shape })
            }
        }
    }

    /// One figure goes with each of a list; two lists pair only where they stand alike.
    fn paired(&mut self, node: &Node, left: Shape, right: Shape) -> Option<Shape> {
        if right.len() == 1 || (left.rows, left.columns) == (right.rows, right.columns) {
            Some(left)
        } else if left.len() == 1 {
            Some(Shape {
                rows: right.rows,
                columns: right.columns,
                ..left
            })
        } else {
            self.fault(node, CalcErrorKind::Unpaired(left.len(), right.len()))
        }
    }

    fn call(&mut self, node: &Node, function: Function, shapes: &[Shape]) -> Option<Shape> {
        let (first, rest) = shapes.split_first()?;
        let alike = function != Function::EndGap;
        if let Some(other) = rest.iter().find(|s| alike && s.powers != first.powers) {
            return self.mixed(node, first.powers, other.powers);
        }
        // `shim` adds and takes away, where the two kinds of degrees go together.
        let compares = alike && function != Function::Shim;
        if rest.iter().any(|s| compares && s.point != first.point) {
            return self.fault(node, CalcErrorKind::Temperature);
        }
        let count: usize = shapes.iter().map(Shape::len).sum();
        let needs = |walk: &mut Self, words| walk.fault(node, CalcErrorKind::TooFew(function.word(), words));
        match function {
            Function::Min | Function::Max | Function::Mean => Some(first.single()),
            Function::Abs if first.point => self.fault(node, CalcErrorKind::Temperature),
            Function::Abs => Some(*first),
            Function::Spread if count < 2 => needs(self, "two readings or more"),
            Function::OutOfRound if first.columns < 2 => needs(self, "two columns or more: directions at one height"),
            Function::Taper if first.rows < 2 => needs(self, "two rows or more: heights in one direction"),
            Function::Spread | Function::OutOfRound | Function::Taper => Some(Shape {
                point: false,
                ..first.single()
            }),
            Function::Clearance => Some(Shape {
                rows: 1,
                columns: if count > 2 { 2 } else { 1 },
                point: false,
                ..*first
            }),
            Function::Shim => {
                let sum = self.binary(node, Operator::Plus, *first, *shapes.get(1)?)?;
                self.binary(node, Operator::Minus, sum, *shapes.get(2)?)
            }
            Function::EndGap => self.binary(node, Operator::Times, *first, *shapes.get(1)?),
        }
    }
}
