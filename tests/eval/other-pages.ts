import sharp from 'sharp'
import { randomInteger, randomNormal, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { ownPage } from './own-page.ts'
import { ownSpec } from './own-pages.ts'
import type { PageCase, Picture } from './page-case.ts'
import { partRow } from './part-words.ts'
import { type Drawn, FAMILIES, pathInk, pictureOf, textInk } from './svg-ink.ts'

/** Pages a person may bring by mistake: nothing on them is a callout or a parts list. */
export function otherPages(): PageCase[] {
  const page = (name: string, about: string, make: () => Promise<Picture>): PageCase => ({
    name,
    group: 'none',
    base: name,
    about,
    make,
  })
  return [
    page('none-blank', 'white paper', async () => pictureOf({ ...A4, ink: [], truth: NOTHING }, 150)),
    page('none-text', 'a page of running text', async () => pictureOf(textPage('text', 1), 200)),
    page('none-text-columns', 'two columns of text with numbered paragraphs', async () =>
      pictureOf(textPage('columns', 2), 150),
    ),
    page('none-photo', 'a photograph: soft shapes and grain', () => photo('photo')),
    page('none-photo-dark', 'a dark photograph', () => photo('dark')),
    page('none-drawing', 'a machine without numbers', async () => pictureOf(bare('none-drawing', 0), 200)),
    page('none-dimensioned', 'a drawing with dimensions only', async () =>
      pictureOf(bare('none-dimensioned', 12), 200),
    ),
    page('none-numbers', 'a table of numbers with units', async () => pictureOf(numbersPage(), 200)),
  ]
}

const A4 = { width: 1654, height: 2339 }
const NOTHING = { callouts: [], rows: [] }

const WORDS =
  'the drum turns before the apron is raised and the feed chain must run free for a minute so that nothing is left in the housing when the guard is shut then grease the bearings turn the shaft by hand and listen a rumbling bearing is renewed with its seal clean the bore with a lint free cloth and look for scores'.split(
    ' ',
  )

function textPage(seed: string, columns: number): Drawn {
  const random = randomSeeded(`page of ${seed}`)
  const ink: string[] = [
    textInk('4  Care in winter', { x: 150, y: 190 }, { family: FAMILIES.book, size: 44, weight: 700 }),
  ]
  const wide = (A4.width - 300 - (columns - 1) * 60) / columns
  const letters = Math.floor(wide / (26 * 0.47))
  for (let column = 0; column < columns; column++)
    for (let y = 280, paragraph = 1; y < A4.height - 260; y += 36) {
      const starts = randomInteger(random, 0, 7) === 0
      if (starts) y += 18
      let line = starts && columns > 1 ? `${paragraph++}.  ` : ''
      while (line.length < letters - 10) line += `${randomPick(random, WORDS)} `
      ink.push(textInk(line.trim(), { x: 150 + column * (wide + 60), y }, { family: FAMILIES.book, size: 26 }))
    }
  ink.push(
    textInk('31', { x: A4.width / 2, y: A4.height - 110 }, { family: FAMILIES.book, size: 24, anchor: 'middle' }),
  )
  return { ...A4, ink, truth: NOTHING }
}

/** A photograph of nothing in particular; `dark` is underexposed, any other seed is not. */
export async function photo(seed: string): Promise<Picture> {
  const random = randomSeeded(`page of ${seed}`)
  const [width, height] = [1600, 1200]
  const dark = seed === 'dark' ? 0.45 : 1
  const shapes = Array.from({ length: 40 }, () => {
    const tone = Math.round(random() * 255 * dark)
    return `<ellipse cx="${random() * width}" cy="${random() * height}" rx="${20 + random() * 260}" ry="${20 + random() * 200}" fill="rgb(${tone},${Math.round(tone * 0.9)},${Math.round(tone * 0.75)})" opacity="${0.4 + random() * 0.6}"/>`
  })
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="#8a8578"/>${shapes.join('')}</svg>`
  const { data, info } = await sharp(Buffer.from(svg)).flatten().blur(3).raw().toBuffer({ resolveWithObject: true })
  for (let at = 0; at < data.length; at++) data[at] = Math.max(0, Math.min(255, data[at]! + randomNormal(random, 0, 9)))
  const bytes = await sharp(data, { raw: { width, height, channels: info.channels } })
    .jpeg({ quality: 82 })
    .toBuffer()
  return { bytes, extension: 'jpg', dpi: 150, truth: { width, height, ...NOTHING } }
}

const bare = (seed: string, dimensions: number): Drawn =>
  ownPage({ ...ownSpec(seed).spec, parts: 14, dimensions, called: false, table: null })

/** Torques by thread and class: numbers in ruled columns, none of them an item. */
function numbersPage(): Drawn {
  const random = randomSeeded('page of numbers')
  const ink: string[] = [
    textInk('Tightening torque, Nm', { x: 200, y: 200 }, { family: FAMILIES.grotesque, size: 40, weight: 700 }),
  ]
  const heads = ['Thread', '5.6', '8.8', '10.9', '12.9']
  const left = (at: number) => 200 + at * 240
  for (let row = 0; row <= 22; row++) {
    const y = 300 + row * 56
    ink.push(
      pathInk(
        [
          { x: 190, y: y + 18 },
          { x: 1440, y: y + 18 },
        ],
        row === 0 ? 2.4 : 1,
      ),
    )
    heads.forEach((head, at) => {
      const size = 4 + row * 2
      const text =
        row === 0 ? head : at === 0 ? `M${size}` : String(Math.round(size ** 2.6 * 0.02 * at * (1 + random() * 0.02)))
      ink.push(
        textInk(text, { x: left(at), y }, { family: FAMILIES.grotesque, size: 28, weight: row === 0 ? 700 : 400 }),
      )
    })
  }
  ink.push(
    textInk(
      `Values for dry threads. ${partRow('1', random).description}: see its own sheet.`,
      { x: 200, y: 1660 },
      { family: FAMILIES.grotesque, size: 24 },
    ),
  )
  return { ...A4, ink, truth: NOTHING }
}
