import { describe, expect, it } from 'vitest'
import { calloutsPlaced, leadersCross, spaced } from '../../seed/draw/callout-layout.ts'
import { simplified } from '../../seed/draw/ink.ts'
import { outlineArea, outlineCircle, outlineLink, outlineRounded } from '../../seed/draw/outline.ts'
import { castleNut, hexNut, splitPin } from '../../seed/draw/parts/fastener.ts'
import { type Shape, shapePlace, shapeTurn } from '../../seed/draw/shape.ts'
import { sheetDrawn } from '../../seed/draw/sheet.ts'
import { extrude, revolve, ring, rod } from '../../seed/draw/solid.ts'
import { pathOf } from '../../seed/draw/svg.ts'
import { triangulate } from '../../seed/draw/triangulate.ts'
import type { Flat } from '../../seed/draw/vector.ts'
import { ISOMETRIC, viewProject } from '../../seed/draw/view.ts'

const project = viewProject({ ...ISOMETRIC, scale: 1, origin: [0, 0] })
const span = (a: readonly number[], b: readonly number[]) => Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!)

/** Volume enclosed by a skin whose faces all run the same way round (divergence theorem). */
function volume(shape: Shape): number {
  return Math.abs(
    shape.meshes.reduce(
      (total, mesh) =>
        total +
        mesh.faces.reduce((sum, [a, b, c]) => {
          const [p, q, r] = [mesh.points[a]!, mesh.points[b]!, mesh.points[c]!]
          return (
            sum +
            (p[0] * (q[1] * r[2] - q[2] * r[1]) +
              p[1] * (q[2] * r[0] - q[0] * r[2]) +
              p[2] * (q[0] * r[1] - q[1] * r[0])) /
              6
          )
        }, 0),
      0,
    ),
  )
}

describe('isometric view', () => {
  // ISO 5456-3:1996, 5.1: the three axes are shortened alike, by the root of two thirds, and stand 120 degrees apart.
  it('shortens all three axes by the root of two thirds', () => {
    for (const axis of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ] as const)
      expect(span(project([0, 0, 0]), project(axis))).toBeCloseTo(Math.sqrt(2 / 3), 4)
  })
  it('sends x to the lower right at thirty degrees and z straight up', () => {
    const x = project([1, 0, 0])
    expect((Math.atan2(x[1], x[0]) * 180) / Math.PI).toBeCloseTo(30, 2)
    expect(project([0, 0, 1])[0]).toBeCloseTo(0, 9)
    expect(project([0, 0, 1])[1]).toBeLessThan(0)
  })
  it('brings +x, -y and +z nearer to the reader', () => {
    expect(project([1, 0, 0])[2]).toBeGreaterThan(0)
    expect(project([0, -1, 0])[2]).toBeGreaterThan(0)
    expect(project([0, 0, 1])[2]).toBeGreaterThan(0)
  })
})

describe('solids', () => {
  // Volumes from the formulas of any handbook: cylinder pi r2 h, ring pi (R2 - r2) h; chords make them slightly small.
  it('a turned bar holds the volume of its cylinder', () => {
    const exact = Math.PI * 20 ** 2 * 70
    expect(volume(rod(5, 75, 20))).toBeLessThan(exact)
    expect(volume(rod(5, 75, 20))).toBeGreaterThan(exact * 0.98)
  })
  it('a washer holds its ring and not its bore', () => {
    const exact = Math.PI * (31 ** 2 - 17 ** 2) * 6
    expect(volume(ring(0, 6, 17, 31)) / exact).toBeGreaterThan(0.98)
    expect(volume(ring(0, 6, 17, 31)) / exact).toBeLessThan(1)
  })
  it('a plate with two holes covers its outline less the holes', () => {
    const outline: Flat[] = [
      [-40, -25],
      [40, -25],
      [40, 25],
      [-40, 25],
    ]
    const holes = [outlineCircle(8, [-18, 3], 24), outlineCircle(5, [20, -6], 24)]
    const area = (faces: [number, number, number][], points: Flat[]) =>
      faces.reduce((sum, face) => sum + Math.abs(outlineArea(face.map((index) => points[index]!))), 0)
    const wanted = outlineArea(outline) - holes.reduce((sum, hole) => sum + outlineArea(hole), 0)
    expect(area(triangulate(outline, holes), [outline, ...holes].flat())).toBeCloseTo(wanted, 6)
  })
  it('holes in a bolt circle never leave a slit or an overlap, however many', () => {
    for (const count of [3, 6, 8, 12]) {
      const outer = outlineCircle(100, [0, 0], 90)
      const holes = [
        outlineCircle(50, [0, 0], 48),
        ...Array.from({ length: count }, (_, k) =>
          outlineCircle(7, [76 * Math.cos((k * 2 * Math.PI) / count), 76 * Math.sin((k * 2 * Math.PI) / count)], 18),
        ),
      ]
      const points = [outer, ...holes].flat()
      const got = triangulate(outer, holes).reduce(
        (sum, face) => sum + outlineArea(face.map((index) => points[index]!)),
        0,
      )
      expect(got).toBeCloseTo(outlineArea(outer) - holes.reduce((sum, hole) => sum + outlineArea(hole), 0), 5)
    }
  })
  it('a rounded corner takes away less than the square of its radius', () => {
    const sharp = outlineArea([
      [0, 0],
      [60, 0],
      [60, 40],
      [0, 40],
    ])
    const round = outlineArea(
      outlineRounded([
        [0, 0],
        [60, 0, 12],
        [60, 40],
        [0, 40],
      ]),
    )
    // (1 - pi/4) r2 for a right angle; chords cut a little more.
    const exact = (1 - Math.PI / 4) * 12 ** 2
    expect(sharp - round).toBeGreaterThan(exact)
    expect(sharp - round).toBeLessThan(exact * 1.05)
  })
  it('a link runs the same way round, so that its plate is one piece', () => {
    expect(outlineArea(outlineLink([0, 0], 19, [0, -104], 12))).toBeGreaterThan(0)
  })
  it('turning a part changes nothing about it', () => {
    const nut = castleNut(24)
    expect(volume(shapeTurn(nut, 'x', 37))).toBeCloseTo(volume(nut), 6)
  })
  it('a hexagon is as wide across flats as asked', () => {
    // ISO 4032: an M16 nut measures 24 mm across flats and so 24 / cos 30 across corners.
    const widest = Math.max(...hexNut(16, { across: 24 }).meshes[0]!.points.map(([, y, z]) => Math.hypot(y, z)))
    expect(widest * 2).toBeCloseTo(24 / Math.cos(Math.PI / 6), 6)
  })
  it('one leg of a split pin is longer, so that the legs can be told apart and bent', () => {
    // ISO 1234: one leg overhangs the other.
    const points = splitPin(5, 40).meshes[0]!.points
    const reach = (upper: boolean) => Math.max(...points.filter(([, , z]) => z > 0 === upper).map(([x]) => x))
    expect(Math.abs(reach(true) - reach(false))).toBeGreaterThan(2)
  })
})

describe('hidden lines', () => {
  const draw = (parts: { item: string; shape: Shape }[], axes: [number, number, number][][] = []) =>
    sheetDrawn({
      plate: 'Fig. 0',
      title: 'trial',
      width: 500,
      margins: { top: 60, right: 60, bottom: 60, left: 60 },
      parts,
      axes,
    })
  const ink = (svg: string, id: string): number =>
    (svg.match(new RegExp(`<g id="${id}"[^>]*>(.*?)</g>`))?.[1] ?? '').length

  it('a plate in front leaves less of the plate behind', () => {
    const back = { item: '1', shape: shapePlace(ring(0, 10, 20, 60), [0, 0, 0]) }
    const alone = draw([back, { item: '2', shape: shapePlace(ring(0, 10, 20, 60), [220, 0, 0]) }])
    const covered = draw([back, { item: '2', shape: shapePlace(ring(0, 10, 20, 60), [60, 0, 0]) }])
    expect(covered.visible.get('1')!.length / covered.visible.get('2')!.length).toBeLessThan(0.75)
    expect(alone.visible.get('1')!.length / alone.visible.get('2')!.length).toBeGreaterThan(0.95)
  })
  it('which part is named first does not matter', () => {
    const a = { item: '1', shape: shapePlace(ring(0, 10, 20, 60), [0, 0, 0]) }
    const b = { item: '2', shape: shapePlace(rod(0, 70, 15), [50, 0, 0]) }
    const sides = (svg: string) => [ink(svg, 'item-1'), ink(svg, 'item-2')]
    expect(sides(draw([a, b]).svg)).toEqual(sides(draw([b, a]).svg))
  })
  it('an explosion axis vanishes inside a solid part', () => {
    const bar = {
      item: '1',
      shape: revolve([
        [0, 0],
        [0, 40],
        [200, 40],
        [200, 0],
      ]),
    }
    expect(
      ink(
        draw(
          [bar],
          [
            [
              [20, 0, 0],
              [180, 0, 0],
            ],
          ],
        ).svg,
        'axes',
      ),
    ).toBe(0)
    expect(
      ink(
        draw(
          [bar],
          [
            [
              [20, 0, 0],
              [320, 0, 0],
            ],
          ],
        ).svg,
        'axes',
      ),
    ).toBeGreaterThan(0)
  })
  it('where two castings run into each other the joint is drawn', () => {
    const plate = extrude(
      [
        [-50, -50],
        [50, -50],
        [50, 50],
        [-50, 50],
      ],
      0,
      10,
    )
    const apart = draw([
      { item: '1', shape: plate },
      { item: '2', shape: rod(10.001, 90, 30) },
    ])
    const welded = draw([
      { item: '1', shape: plate },
      { item: '2', shape: rod(5, 90, 30) },
    ])
    expect(welded.svg).not.toContain('NaN')
    expect(ink(welded.svg, 'item-1')).toBeGreaterThan(ink(apart.svg, 'item-1') * 0.9)
  })
  it('a part that cannot be seen is a fault of the sheet', () => {
    expect(() =>
      draw([
        { item: '1', shape: ring(0, 100, 30, 60) },
        { item: '2', shape: shapePlace(rod(0, 20, 4), [40, 45, 0]) },
      ]),
    ).toThrow(/item 2/)
  })
  it('lines on a straight run are kept as their two ends', () => {
    expect(
      simplified([
        [0, 0],
        [4, 0.01],
        [9, 0],
        [15, 6],
      ]),
    ).toEqual([
      [0, 0],
      [9, 0],
      [15, 6],
    ])
    expect(
      pathOf([
        [1, 2],
        [1.5, 1.25],
        [4, 1.25],
      ]),
    ).toBe('M1 2l.5-.7 2.5 0')
  })
})

describe('callout rows', () => {
  it('numbers keep their distance and move as little as they can', () => {
    expect(spaced([100, 104, 300], 400, 30)).toEqual([87, 117, 300])
    expect(spaced([300, 100], 400, 30)).toEqual([300, 100])
    expect(spaced([2, 3], 400, 30)).toEqual([0, 30])
  })
  it('two leaders that would cross change numbers', () => {
    const spot = (x: number, y: number) => [{ at: [x, y] as const, inside: 9 }]
    const placed = calloutsPlaced(
      [
        { item: '1', rail: 'top', spots: spot(100, 90), near: [[100, 90]] },
        { item: '2', rail: 'top', spots: spot(96, 300), near: [[96, 300]] },
        { item: '3', rail: 'top', spots: spot(104, 200), near: [[104, 200]] },
      ],
      { top: { from: [0, 20], to: [300, 20] } },
    )
    for (const a of placed)
      for (const b of placed) if (a !== b) expect(leadersCross(a.at, a.tips[0]!, b.at, b.tips[0]!)).toBe(false)
  })
  it('a number placed by hand stays there', () => {
    const [one] = calloutsPlaced([{ item: '5', rail: 'top', spots: [{ at: [50, 60], inside: 3 }], at: [12, 34] }], {
      top: { from: [0, 0], to: [100, 0] },
    })
    expect(one).toEqual({ item: '5', at: [12, 34], tips: [[50, 60]] })
  })
})
