package geometry

// Flatten gives the shape of one dimension that stands for one of two: the long cylinder
// of a FiniteCylinder and of a RollSection, the slab of a Tray and the half slab through the
// middle of a Bar. Its volume is that of the same length of dish, ends and rims left out.
// A shape of one dimension is its own, as is nil.
func Flatten(s Shape) Shape {
	switch x := s.(type) {
	case FiniteCylinder:
		return Cylinder{Length: x.Length}
	case RollSection:
		return Cylinder{Length: x.Length}
	case Tray:
		return Slab{Area: x.Width * orOne(x.Length)}
	case Bar:
		return HalfSlab{Area: x.Width * orOne(x.Length)}
	case *FiniteCylinder:
		return flattenPointer(s, x)
	case *RollSection:
		return flattenPointer(s, x)
	case *Tray:
		return flattenPointer(s, x)
	case *Bar:
		return flattenPointer(s, x)
	}
	return s
}

// flattenPointer flattens what the shape s points to, if to anything.
func flattenPointer[S Shape](s Shape, to *S) Shape {
	if to == nil {
		return s
	}
	return Flatten(*to)
}
