use super::*;
use crate::input::bounds::PARTS;
