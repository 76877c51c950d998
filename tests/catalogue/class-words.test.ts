import { describe, expect, test } from 'vitest'
import table from '../../lib/catalogue/class-words.json'
import { partClassSaid } from '../../lib/catalogue/class-words.ts'
import { PART_CLASSES } from '../../lib/catalogue/part-class.ts'
import thesaurus from '../../lib/search/thesaurus.json'
import { FIGURES } from '../../seed/figures/index.ts'

describe('the class that a description says', () => {
  // Item names as public supply catalogues print them, noun first (NATO codification, approved item names): from memory.
  test.each([
    ['PIN, COTTER', 'split-pin'],
    ['NUT, PLAIN, HEXAGON', 'nut'],
    ['NUT, PLAIN, CASTELLATED, HEXAGON', 'castle-nut'],
    ['NUT, SELF-LOCKING, HEXAGON', 'prevailing-torque-nut'],
    ['RING, RETAINING', 'circlip'],
    ['BEARING, ROLLER, TAPERED', 'bearing'],
    ['BOLT, MACHINE', 'bolt'],
    ['WASHER, FLAT', 'washer'],
    ['WASHER, KEY', 'tab-washer'],
    ['SCREW, CAP, SOCKET HEAD', 'screw'],
    ['BELT, V', 'v-belt'],
    ['SHOE, BRAKE', 'brake-shoe'],
    ['CLAMP, HOSE', 'hose-clamp'],
    ['FITTING, LUBRICATION', 'grease-nipple'],
    ['KEY, WOODRUFF', 'key'],
    ['SHIM', 'shim'],
    ['O-RING', 'o-ring'],
  ])('%s is %s', (words, is) => {
    expect(partClassSaid(words)).toBe(is)
  })

  // Common practice, no source.
  test.each([
    ['Split pins, 5 x 40', 'split-pin'],
    ['Tapered roller bearing, inner, 40 x 68 x 19, without cup', 'bearing'],
    ['Cup, inner bearing', 'bearing-cup'],
    ['Bearing housing', 'housing'],
    ['Spring washer 12', 'spring-washer'],
    ['Return spring (cam end)', 'return-spring'],
    ['Tensioner roller with bearing', 'roller'],
    ['Wheel bolt M18x1.5', 'wheel-stud'],
  ])('%s is %s', (words, is) => {
    expect(partClassSaid(words)).toBe(is)
  })

  test.each([
    'Lock nut, M10',
    'Sealing washer, 16',
    'Back plate of the belt guard',
    'Bolt and nut',
    'Bolt & washer',
    'BEARING ROLLER',
    'WASHER SPRING',
    'Clip, cover',
    'Connecting rod',
    'Ring',
    '6205-2RS',
    '',
  ])('%s could be several things and is left to a person', (words) => {
    expect(partClassSaid(words)).toBeNull()
  })

  test('is never another one than the catalogue of the demo has, and most parts are told', { timeout: 120_000 }, () => {
    const some = FIGURES.filter(({ slug }) => ['mower-rotor', 'trailer-hub-brake', 'front-hub'].includes(slug))
    const lines = some.flatMap(({ figure }) => figure().file.lines)
    const said = lines.filter((line) => partClassSaid(line.description) !== null)
    const wrong = said.filter((line) => partClassSaid(line.description) !== line.partClass)
    expect(said.length / lines.length).toBeGreaterThan(0.75)
    expect(wrong.map((line) => `${line.description}: ${line.partClass}`)).toEqual([
      // What a nut holds is said by the drawing, not by its name.
      'Prevailing-torque nut, M16: knife-nut',
    ])
  })

  test('is never two classes for words that name the same thing in one workshop or the other', () => {
    // The class is finer than the word here: a copper ring is crushed, a bonded seal is not.
    const finer = (group: string[]) => group.includes('bonded seal')
    const two = thesaurus.groups.filter(
      (group) => !finer(group) && new Set(group.map(partClassSaid).filter((is) => is !== null)).size > 1,
    )
    expect(two).toEqual([])
  })

  test('is one that exists', () => {
    const named = Object.values(table.nouns as Record<string, (string | null)[][]>).flatMap((senses) =>
      senses.flatMap(([, is]) => (is == null ? [] : [is])),
    )
    expect(named.filter((is) => !PART_CLASSES.some((one) => one === is))).toEqual([])
  })
})
