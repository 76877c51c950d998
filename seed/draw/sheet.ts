/**
 * A sheet of a parts book: parts set out along their explosion axes, drawn in line, with callout numbers.
 *
 * Recipe for a new figure (see seed/figures/*.ts for whole ones):
 *
 * 1. Model each part along +x, centred on the x axis, in millimetres or any one unit: `revolve` for turned parts,
 *    `extrude` for plates, `polar` for hexagons, gears and splines, `sweep`/`tube` for wires, hoses and belts, `loft` for
 *    the rest; ready-made bolts, nuts, split pins, bearings, seals, springs, gears and pulleys are in ./parts/.
 *    `shapeJoin` puts pieces together; where they run into each other the line of the joint is drawn by itself, so a hub
 *    is a turned barrel joined with an extruded flange. Avoid faces that lie exactly on one another: let them overlap.
 * 2. Set it in its place: `shapePlace(shape, [x, y, z], '+x' | '-y' | '+z' ...)`. In the isometric view +x comes towards
 *    the reader's lower right, +y goes away to the upper right, -y comes to the lower left, +z is up.
 *    What lies nearer hides what lies behind; nothing has to be sorted.
 * 3. `parts: [{ item: '7', shape, rail: 'top' }]`. Parts with one item number belong together (all fitted knives).
 *    A part without an item is drawn but not called out (the end of an axle beam).
 * 4. `axes`: chain lines along which the parts come apart, as world points; they vanish behind parts by themselves.
 * 5. `rails`: rows for the numbers in user units of the sheet; 'top', 'bottom', 'left' and 'right' exist along the
 *    margins. Numbers are spread along their rail in the order of their parts. `near` names the point of a part where the
 *    leader should end, `at` fixes a number by hand.
 * 6. Draw, look at it, move rails and parts, draw again.
 *
 * The same spec always gives the same bytes: no clock, no dice, coordinates rounded to a tenth.
 */
import { calloutsPlaced, type PlacedCallout, type Point, type Rail } from './callout-layout.ts'
import { inkOf } from './ink.ts'
import { Scene } from './scene.ts'
import { type Shape, shapeJoin } from './shape.ts'
import { svgOf } from './svg.ts'
import type { Vec } from './vector.ts'
import { ISOMETRIC, type View, viewProject } from './view.ts'

export interface SheetPart {
  item?: string
  shape: Shape
  rail?: string
  near?: readonly Vec[]
  at?: Point
}

export interface SheetSpec {
  /** Plate number printed small at the foot, as the book numbers its figures. */
  plate: string
  title: string
  width: number
  margins: { top: number; right: number; bottom: number; left: number }
  view?: { yawDegrees: number; pitchDegrees: number }
  parts: readonly SheetPart[]
  axes?: readonly (readonly Vec[])[]
  rails?: Readonly<Record<string, Rail>>
}

export interface Sheet {
  svg: string
  width: number
  height: number
  callouts: PlacedCallout[]
  /** What of each item can be seen: spots three units apart, for checks and for anything that needs to find a part. */
  visible: Map<string, Point[]>
}

export function sheetDrawn(spec: SheetSpec): Sheet {
  const shapes = spec.parts.map((part) => part.shape)
  const angles = spec.view ?? ISOMETRIC
  const { view, width, height } = fitted(shapeJoin(...shapes), spec, angles)
  const project = viewProject(view)
  const scene = new Scene(shapes, spec.axes ?? [], project)
  const rails: Record<string, Rail> = {
    top: { from: [40, 34], to: [width - 40, 34] },
    bottom: { from: [40, height - 34], to: [width - 40, height - 34] },
    left: { from: [34, 40], to: [34, height - 40] },
    right: { from: [width - 34, 40], to: [width - 34, height - 40] },
    ...spec.rails,
  }
  const spots = spotsOf(scene, spec.parts, width, height)
  const items = [...new Set(spec.parts.flatMap((part) => part.item ?? []))]
  const callouts = calloutsPlaced(
    items.map((item) => {
      const mine = spec.parts.filter((part) => part.item === item)
      const found = spots.get(item)
      if (!found?.length) throw new Error(`item ${item} cannot be seen on the sheet ${spec.plate}`)
      const near = mine
        .flatMap((part) => part.near ?? [])
        .map((point): Point => {
          const [x, y] = project(point)
          return [x, y]
        })
      return {
        item,
        rail: mine.find((part) => part.rail)?.rail ?? 'top',
        spots: found,
        near,
        at: mine.find((part) => part.at)?.at,
      }
    }),
    rails,
  )
  return {
    svg: svgOf({
      width,
      height,
      plate: spec.plate,
      title: spec.title,
      items: spec.parts.map((part) => part.item),
      strokes: inkOf(scene),
      callouts,
      sizes: sizesOf(shapes, project),
    }),
    width,
    height,
    callouts,
    visible: new Map([...spots].map(([item, list]) => [item, list.map((spot) => spot.at)])),
  }
}

/** Scale and origin that fit the drawing between the margins of a sheet of the wished width; the height follows. */
function fitted(
  all: Shape,
  spec: SheetSpec,
  angles: { yawDegrees: number; pitchDegrees: number },
): { view: View; width: number; height: number } {
  const flat = all.meshes.flatMap((mesh) => mesh.points).map(viewProject({ ...angles, scale: 1, origin: [0, 0] }))
  const [left, right] = [flat.reduce((m, p) => Math.min(m, p[0]), 1e9), flat.reduce((m, p) => Math.max(m, p[0]), -1e9)]
  const [top, bottom] = [flat.reduce((m, p) => Math.min(m, p[1]), 1e9), flat.reduce((m, p) => Math.max(m, p[1]), -1e9)]
  const scale = (spec.width - spec.margins.left - spec.margins.right) / (right - left)
  const height = Math.ceil((bottom - top) * scale + spec.margins.top + spec.margins.bottom)
  return {
    view: { ...angles, scale, origin: [spec.margins.left - left * scale, spec.margins.top - top * scale] },
    width: spec.width,
    height,
  }
}

const GRID = 3

function spotsOf(
  scene: Scene,
  parts: readonly SheetPart[],
  width: number,
  height: number,
): Map<string, { at: Point; inside: number }[]> {
  const columns = Math.ceil(width / GRID)
  const rows = Math.ceil(height / GRID)
  const seen = new Int32Array(columns * rows).fill(-1)
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      scene.look(column * GRID + 0.5, row * GRID + 0.5)
      seen[row * columns + column] = scene.part
    }
  const spots = new Map<string, { at: Point; inside: number }[]>()
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const part = seen[row * columns + column]!
      const item = part >= 0 ? parts[part]!.item : undefined
      if (item === undefined) continue
      let clear = 0
      for (let ring = 1; ring <= 4; ring++) {
        const open = [
          [ring, 0],
          [-ring, 0],
          [0, ring],
          [0, -ring],
          [ring, ring],
          [-ring, -ring],
          [ring, -ring],
          [-ring, ring],
        ].every(([dx, dy]) => seen[(row + dy!) * columns + column + dx!] === part)
        if (!open) break
        clear = ring
      }
      const list = spots.get(item) ?? []
      list.push({ at: [column * GRID + 0.5, row * GRID + 0.5], inside: clear * GRID })
      spots.set(item, list)
    }
  return spots
}

/** Shorter side of each part on the paper: wires and split pins take a finer outline than castings. */
function sizesOf(shapes: readonly Shape[], project: (point: Vec) => readonly [number, number, number]): number[] {
  return shapes.map((shape) => {
    const points = shape.meshes.flatMap((mesh) => mesh.points).map(project)
    const span = (k: 0 | 1) =>
      points.reduce((m, p) => Math.max(m, p[k]), -1e9) - points.reduce((m, p) => Math.min(m, p[k]), 1e9)
    return Math.min(span(0), span(1))
  })
}
