import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import { type DemoPageSpec, demoPage } from './demo-page.ts'
import { halfOf, type PageCase } from './page-case.ts'
import { FAMILIES, type Family, pictureOf } from './svg-ink.ts'
import type { Column } from './table.ts'

const COLUMNS: readonly (readonly Column[])[] = [
  ['item', 'partNumber', 'description', 'quantity'],
  ['item', 'description', 'partNumber', 'quantity', 'remarks'],
  ['item', 'quantity', 'partNumber', 'description'],
  ['item', 'partNumber', 'quantity', 'description', 'remarks'],
]

const PAIRS = [
  ['filters', 'belt-drive'],
  ['pto-shaft', 'parking-brake'],
  ['front-hub', 'cylinder'],
]

/**
 * One page a figure, its make drawn from the seed; most numbers are bare, as most parts books print them. `fresh` draws other
 * pages of the same manners, of those figures only whose page may be looked at.
 */
export function demoSpecs(fresh = ''): { name: string; about: string; dpi: number; spec: DemoPageSpec }[] {
  const sets = [...FIGURES.map(({ slug }) => [slug]), ...PAIRS].filter(
    (set) => fresh === '' || halfOf(`demo-${set.join('+')}`) === 'develop',
  )
  const first = fresh === '' ? 0 : randomInteger(randomSeeded(`first manner of ${fresh}`), 0, 59)
  return sets.map((set, nth) => {
    const at = first + nth
    const name = `demo-${set.join('+')}${fresh && `-${fresh}`}`
    const random = randomSeeded(`make of ${name}`)
    const family = (['grotesque', 'humanist', 'narrow', 'book', 'century', 'typewriter'] as const satisfies Family[])[
      at % 6
    ]!
    const items = (['plain', 'plain', 'hundreds', 'plain', 'suffixed'] as const)[at % 5]!
    const frame = at % 4 === 3 ? 'circle' : 'bare'
    const end = randomPick(random, ['dot', 'plain', 'plain', 'arrow'] as const)
    const rows = randomPick(random, ['hairlines', 'grid', 'none'] as const)
    const table = set.length > 1 || at % 3 !== 1 ? 'below' : 'right'
    const columns = table === 'right' ? COLUMNS[0]! : COLUMNS[at % COLUMNS.length]!
    const blocks = set.length > 1 ? 2 : 1
    const spec: DemoPageSpec = {
      slugs: set,
      seed: name,
      table,
      items,
      numbers: {
        frame,
        end,
        family,
        size: randomInteger(random, items === 'plain' ? 22 : 19, items === 'plain' ? 27 : 22),
        weight: randomPick(random, [400, 700]),
      },
      list: {
        columns: blocks === 2 ? COLUMNS[0]! : columns,
        rules: rows,
        family: randomPick(random, Object.keys(FAMILIES) as Family[]),
        size: blocks === 2 ? 18 : 21,
        blocks,
        points: at % 4 === 2,
        words: at,
      },
      extras: 4,
    }
    const dpi = randomPick(random, [150, 200, 200, 300])
    return {
      name,
      about: `${frame} ${items} numbers in ${family}, leaders ${end}, table ${table}, ${rows}, ${dpi} dpi`,
      dpi,
      spec,
    }
  })
}

export function demoPages(fresh = ''): PageCase[] {
  return demoSpecs(fresh).map(({ name, about, dpi, spec }) => ({
    name,
    group: 'demo',
    base: name,
    about,
    make: async () => pictureOf(await demoPage(spec), dpi),
  }))
}
