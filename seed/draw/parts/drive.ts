import { outlineSector } from '../outline.ts'
import { type Shape, shapeJoin, shapeRing } from '../shape.ts'
import { extrude, type PolarRing, type ProfilePoint, polar, revolve } from '../solid.ts'

/** Angles and radii round a toothed wheel: root, flanks with a slight belly, tip. */
export function toothing(
  teeth: number,
  root: number,
  tip: number,
  more: { tipShare?: number; rootShare?: number } = {},
): { angles: number[]; radius: (degrees: number) => number } {
  const pitch = 360 / teeth
  const [tipHalf, rootHalf] = [((more.tipShare ?? 0.3) / 2) * pitch, ((more.rootShare ?? 0.34) / 2) * pitch]
  const flank = pitch / 2 - tipHalf - rootHalf
  const stops: [degrees: number, radius: number][] = [
    [-tipHalf, tip],
    [0, tip],
    [tipHalf, tip],
    [tipHalf + flank * 0.45, root + (tip - root) * 0.64],
    [tipHalf + flank * 0.8, root + (tip - root) * 0.25],
    [tipHalf + flank, root],
    [pitch / 2, root],
    [pitch - tipHalf - flank, root],
    [pitch - tipHalf - flank * 0.8, root + (tip - root) * 0.25],
    [pitch - tipHalf - flank * 0.45, root + (tip - root) * 0.64],
  ]
  const table = new Map<string, number>()
  const angles = Array.from({ length: teeth }, (_, tooth) =>
    stops.map(([degrees, radius]) => {
      const angle = tooth * pitch + degrees
      table.set(angle.toFixed(5), radius)
      return angle
    }),
  ).flat()
  return { angles, radius: (degrees) => table.get(degrees.toFixed(5))! }
}

/** Spur gear or ring of splines from x0 to x1 with a bore. */
export function spurGear(x0: number, x1: number, teeth: number, root: number, tip: number, bore: number): Shape {
  const { angles, radius } = toothing(teeth, root, tip)
  return polar(
    [
      { x: x0, r: bore },
      { x: x0, r: radius },
      { x: x1, r: radius },
      { x: x1, r: bore },
    ],
    angles,
    { creaseDegrees: 26 },
  )
}

/** Splined length of a shaft, solid. */
export function splines(x0: number, x1: number, teeth: number, root: number, tip: number): Shape {
  const { angles, radius } = toothing(teeth, root, tip, { tipShare: 0.42, rootShare: 0.38 })
  const shy = (degrees: number) => Math.min(radius(degrees), tip - (tip - root) * 0.7)
  const c = (tip - root) * 0.8
  return polar(
    [
      { x: x0, r: 0 },
      { x: x0, r: shy },
      { x: x0 + c, r: radius },
      { x: x1 - c, r: radius },
      { x: x1, r: shy },
      { x: x1, r: 0 },
    ],
    angles,
    { solid: true, creaseDegrees: 26 },
  )
}

/**
 * Bevel gear: the big end of its teeth at x = 0, teeth running to their apex towards +x, hub standing back to -x.
 * `coneDegrees` is the pitch cone's half angle, `face` the length of the teeth along the cone.
 */
export function bevelGear(
  teeth: number,
  tip: number,
  more: {
    coneDegrees: number
    face: number
    bore: number
    hub: number
    hubLength: number
    depth: number
    boreSplines?: number
  },
): Shape {
  const cone = (more.coneDegrees * Math.PI) / 180
  const root = tip - more.depth * Math.cos(cone)
  const { angles, radius } = toothing(teeth, root, tip)
  const apex = tip / Math.tan(cone)
  const k = 1 - more.face / Math.hypot(apex, tip)
  const inset = (r: number) => (tip - r) * Math.tan(cone)
  const big: PolarRing = { r: radius, x: (degrees) => -inset(radius(degrees)) }
  const small: PolarRing = {
    r: (degrees) => radius(degrees) * k,
    x: (degrees) => apex * (1 - k) - inset(radius(degrees)) * k,
  }
  const back = (degrees: number) => Math.min(radius(degrees), root)
  const innerX = apex * (1 - k) - inset(root) * k
  const wheel = polar(
    [
      { x: -more.hubLength, r: more.bore },
      { x: -more.hubLength, r: more.hub - 1 },
      { x: -more.hubLength + 1, r: more.hub },
      { x: -inset(root) - more.depth * 0.9, r: more.hub },
      { x: -inset(root) - more.depth * 0.9, r: (degrees) => back(degrees) - more.depth * 0.5 },
      big,
      small,
      { x: innerX - more.depth * 0.3, r: Math.max(more.bore * 1.2, root * k - more.depth * 0.6) },
      { x: innerX - more.depth * 0.3, r: more.bore },
    ],
    angles,
    { creaseDegrees: 30 },
  )
  if (!more.boreSplines) return wheel
  const land = 180 / more.boreSplines
  const tooth = extrude(
    outlineSector(more.bore * 0.86, more.bore + 0.8, -land * 0.5, land * 0.5),
    -more.hubLength + 0.4,
    innerX - more.depth * 0.3 - 0.4,
  )
  return shapeJoin(wheel, shapeRing(tooth, more.boreSplines))
}

/** V-belt pulley with `grooves` grooves; rim from x0 on. Web and hub stand in its middle. */
export function vPulley(
  outer: number,
  grooves: number,
  more: { pitch: number; depth: number; bore: number; hub: number; hubLength: number; holes?: number },
): Shape {
  const { pitch, depth, bore, hub, hubLength } = more
  const width = pitch * (grooves + 0.35)
  const land = pitch * 0.175
  const profile: ProfilePoint[] = [
    [0, outer - depth - 7],
    [0, outer],
  ]
  for (let k = 0; k < grooves; k++) {
    const x = land + k * pitch
    profile.push(
      [x + land, outer],
      [x + pitch * 0.36, outer - depth],
      [x + pitch * 0.64, outer - depth],
      [x + pitch - land, outer],
    )
  }
  profile.push([width, outer], [width, outer - depth - 7])
  const inner = outer - depth - 7
  const mid = width / 2
  const web = 5
  const rim = revolve(profile)
  const disc = revolve([
    [mid - web, bore],
    [mid - hubLength / 2, bore],
    [mid - hubLength / 2, hub - 1.5],
    [mid - hubLength / 2 + 1.5, hub],
    [mid - web, hub + 1.5, 3],
    [mid - web, inner + 1],
    [mid + web, inner + 1],
    [mid + web, hub + 1.5, 3],
    [mid + hubLength / 2 - 1.5, hub],
    [mid + hubLength / 2, hub - 1.5],
    [mid + hubLength / 2, bore],
  ])
  return shapeJoin(rim, disc)
}
