import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { type OwnPageSpec, ownPage } from './own-page.ts'
import type { PageCase } from './page-case.ts'
import { FAMILIES, type Family, pictureOf } from './svg-ink.ts'

const PAGES = 24

export function ownSpec(seed: string): { about: string; dpi: number; spec: OwnPageSpec } {
  const random = randomSeeded(`make of ${seed}`)
  const families = Object.keys(FAMILIES) as Family[]
  const numbers = {
    frame: randomPick(random, ['circle', 'circle', 'bare', 'bare', 'shelf'] as const),
    end: randomPick(random, ['dot', 'arrow', 'arrow', 'plain'] as const),
    family: randomPick(random, families),
    size: randomInteger(random, 21, 30),
    weight: randomPick(random, [400, 400, 700]),
  }
  const items = randomPick(random, ['plain', 'plain', 'plain', 'hundreds', 'suffixed', 'dotted'] as const)
  const columns = randomPick(random, [
    ['item', 'quantity', 'description', 'partNumber'],
    ['item', 'partNumber', 'description', 'quantity'],
    ['item', 'description', 'quantity'],
  ] as const)
  const table = {
    columns,
    rules: randomPick(random, ['grid', 'grid', 'hairlines'] as const),
    family: randomPick(random, families),
    header: randomPick(random, ['top', 'bottom', 'bottom'] as const),
  }
  const dpi = randomPick(random, [150, 200, 200, 250])
  const parts = randomInteger(random, 6, 22)
  return {
    dpi,
    about: `${numbers.frame} ${items} numbers in ${numbers.family}, leaders ${numbers.end}, ${table.rules}, header ${table.header}, ${dpi} dpi`,
    spec: { seed, parts, numbers, items, knees: 0.3, dimensions: 5, table, called: true },
  }
}

/** `fresh` draws other sheets of the same manners. */
export function ownPages(fresh = ''): PageCase[] {
  return Array.from({ length: PAGES }, (_, at) => {
    const name = `own-${String(at + 1).padStart(2, '0')}${fresh && `-${fresh}`}`
    const { about, dpi, spec } = ownSpec(name)
    return { name, group: 'own', base: name, about, make: async () => pictureOf(ownPage(spec), dpi) }
  })
}
