// Package geometry turns a layered shape into a finite-volume mesh: cells with
// volumes, faces with areas and conduction resistances, and outer surfaces
// named by patch.
//
// A shape and a list of layers make a Mesh: of one dimension for a Slab, HalfSlab,
// Cylinder or Sphere, of two for a FiniteCylinder, RollSection, Bar or Tray. The mesh
// knows nothing of foods or heat; a solver needs only what it lists, so one of two
// dimensions is a longer list of the same cells and faces.
//
// In two dimensions cells stand in a grid: the first axis goes through the layers along
// the middle line of the dish, which is where probes go in, the second along the layers.
// Where two of them meet at a corner it is of the one that comes later in the dish.
//
// # Laws
//
// The tests hold every mesh to these:
//
//  1. The cell volumes sum to the shape's volume.
//  2. Layer interfaces are faces: no cell holds two layers.
//  3. Steady conduction through the faces is exact for a material of constant
//     conductivity in each layer, whatever the cell count, because the half-cell
//     resistances are those of the shell itself: x for a slab, ln r for a
//     cylinder, 1/r for a sphere.
//  4. In the innermost layer of a cylinder or sphere, through which no steady
//     heat passes, they are exact for a parabola instead, and a cell's node is
//     where a parabola takes its volume mean: the scheme is of second order up
//     to the axis.
//  5. In two dimensions all this holds on each axis by itself. Around the axis of a
//     RollSection the resistances are exact for a straight slope across it, too.
package geometry
