import { type Random, randomInteger, randomPick } from '../../lib/maths/random.ts'
import { type Box, pathInk, textInk } from './svg-ink.ts'

/** Frame of a drawing sheet with zones 1 to 8 across and A to D down (ISO 5457: grid reference system of trimmed sheets). */
export function frameInk(width: number, height: number, edge: number, family: string): string {
  const corners = (gap: number) => [
    { x: gap, y: gap },
    { x: width - gap, y: gap },
    { x: width - gap, y: height - gap },
    { x: gap, y: height - gap },
    { x: gap, y: gap },
  ]
  const type = { family, size: 20, anchor: 'middle' as const }
  const outer = edge - 36
  const across = Array.from({ length: 8 }, (_, at) => {
    const x = edge + ((width - edge * 2) * (at + 0.5)) / 8
    const border = edge + ((width - edge * 2) * at) / 8
    return [
      textInk(String(at + 1), { x, y: edge - 10 }, type),
      textInk(String(at + 1), { x, y: height - edge + 25 }, type),
      pathInk(
        [
          { x: border, y: outer },
          { x: border, y: edge },
        ],
        1,
      ),
      pathInk(
        [
          { x: border, y: height - outer },
          { x: border, y: height - edge },
        ],
        1,
      ),
    ]
  })
  const down = Array.from({ length: 4 }, (_, at) => {
    const y = edge + ((height - edge * 2) * (at + 0.5)) / 4
    const border = edge + ((height - edge * 2) * at) / 4
    return [
      textInk('ABCD'[at]!, { x: edge - 18, y: y + 7 }, type),
      textInk('ABCD'[at]!, { x: width - edge + 18, y: y + 7 }, type),
      pathInk(
        [
          { x: outer, y: border },
          { x: edge, y: border },
        ],
        1,
      ),
      pathInk(
        [
          { x: width - outer, y: border },
          { x: width - edge, y: border },
        ],
        1,
      ),
    ]
  })
  return [pathInk(corners(outer), 1), pathInk(corners(edge), 2.4), ...across.flat(), ...down.flat()].join('')
}

/** Title block in the lower right corner: all that stands in it is lettering near a number, and none of it is a callout. */
export function titleBlockInk(box: Box, family: string, random: Random): string {
  const [w, h] = [box.right - box.left, box.bottom - box.top]
  const y = (share: number) => box.top + h * share
  const x = (share: number) => box.left + w * share
  const line = (a: [number, number], b: [number, number]) =>
    pathInk(
      [
        { x: x(a[0]), y: y(a[1]) },
        { x: x(b[0]), y: y(b[1]) },
      ],
      1.5,
    )
  const small = (text: string, across: number, down: number) =>
    textInk(text, { x: x(across) + 8, y: y(down) + 16 }, { family, size: 13 })
  const large = (text: string, across: number, down: number) =>
    textInk(text, { x: x(across) + 8, y: y(down) + 44 }, { family, size: 24 })
  const date = `${randomInteger(random, 1, 28)}.${randomInteger(random, 1, 12)}.2024`
  return [
    pathInk(
      [
        { x: box.left, y: box.bottom },
        { x: box.left, y: box.top },
        { x: box.right, y: box.top },
      ],
      2.4,
    ),
    line([0, 1 / 3], [1, 1 / 3]),
    line([0, 2 / 3], [1, 2 / 3]),
    line([0.3, 0], [0.3, 1]),
    line([0.78, 1 / 3], [0.78, 1]),
    small('DRAWN', 0, 0),
    large(randomPick(random, ['S. LUT', 'H. MOR', 'K. ELL']), 0, 0),
    small('DATE', 0, 1 / 3),
    large(date, 0, 1 / 3),
    small('SCALE', 0, 2 / 3),
    large(randomPick(random, ['1:2', '1:5', '1:10', '2:1']), 0, 2 / 3),
    small('TITLE', 0.3, 0),
    large(randomPick(random, ['RIDDLE DRIVE', 'PRESS FRAME', 'WASHER DRUM', 'TIPPING GEAR']), 0.3, 0),
    small('DRAWING NO.', 0.3, 1 / 3),
    large(`QB-${randomInteger(random, 1000, 9999)}-0${randomInteger(random, 1, 9)}`, 0.3, 1 / 3),
    small('SHEET', 0.78, 1 / 3),
    large(`${randomInteger(random, 1, 3)} OF ${randomInteger(random, 4, 9)}`, 0.78, 1 / 3),
    small('GENERAL TOLERANCES  MASS', 0.3, 2 / 3),
    large(`${randomInteger(random, 2, 90)}.${randomInteger(random, 1, 9)} kg`, 0.3, 2 / 3),
    small('SIZE', 0.78, 2 / 3),
    large('A3', 0.78, 2 / 3),
  ].join('')
}
