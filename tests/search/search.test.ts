import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { partSearch, partSearchIds, partsFind } from '../../lib/db/part-search.ts'
import { search } from '../../lib/db/search.ts'
import { NO_FILTER, searchFilterRead } from '../../lib/db/search-filter.ts'
import { questionRead } from '../../lib/search/question.ts'
import { THESAURUS } from '../../lib/search/thesaurus.ts'
import { aPart } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'
import { BOOK, classOf, type SearchWorkshop, searchWorkshop } from './workshop.ts'

useWorkshop()
let workshop: SearchWorkshop
beforeAll(async () => {
  workshop = await searchWorkshop()
})

const TAKES = { parts: 20, figures: 5, machines: 5, jobs: 5 }
const firstOf = async (typed: string) => (await partSearch(typed, 5))[0]?.number ?? null

describe('a number is known however it is written', () => {
  // partNumberKey: case, spaces and separators do not count.
  test.each(['AB-12 3', 'ab123', 'AB 12-3', 'a.b.12.3', 'Ab_12/3', '  AB12 3 '])('%s is AB-12 3', async (typed) => {
    expect(await firstOf(typed)).toBe('AB-12 3')
  })

  test.each([
    ['70551', '0070-551', 'zeros before a number are printed by some and not by others'],
    ['0006205 2rs', '6205-2RS', 'and the other way round'],
    ['qx88204a', 'KP-30', 'the number of a supplier leads to the part'],
    ['QX 88/204-A', 'KP-30', 'as the supplier prints it'],
    ['qx 88', 'KP-30', 'and by its beginning'],
    ['st43 130', 'ST43.131', 'a replaced number leads to the new one'],
    ['VB-21', 'VB-2120', 'a number by its beginning'],
    ['2120', 'VB-2120', 'a number by a piece of it'],
    ['05-2r', '6205-2RS', 'a number by a piece out of its middle'],
  ])('%s finds %s: %s', async (typed, number) => {
    expect(await firstOf(typed)).toBe(number)
  })

  test('the new part says what it replaces, and the old one stands behind it and says what replaces it', async () => {
    const [first, second] = await partSearch('ST43.130')
    expect(first).toMatchObject({ number: 'ST43.131', replaces: 'ST43.130', replacedBy: null })
    expect(second).toMatchObject({ number: 'ST43.130', replaces: null, replacedBy: 'ST43.131' })
  })

  test('the number of a supplier stands in a group of its own with the name of the supplier', async () => {
    const answer = await search('QX88204A', TAKES)
    expect(answer.parts).toEqual([])
    expect(answer.supplierNumbers).toMatchObject([
      { number: 'KP-30', supplierNumber: { number: 'QX 88/204-A', supplier: 'Ellerby Spares' } },
    ])
  })
})

describe('a part is found by its words', () => {
  // Words of the United Kingdom and the United States, and of the shop: common practice, no source.
  test.each([
    ['split pin', 'SP-540'],
    ['cotter pin', 'SP-540'],
    ['snap ring', 'CL-47'],
    ['retaining ring', 'CL-47'],
    ['hose clamp', 'HC-20'],
    ['set screw', 'GS-8'],
    ['tire', 'TY-600'],
    ['spring pin', 'RP-6'],
    ['lug nut', 'WN-18'],
    ['muffler', 'SL-1'],
    ['windshield', 'WS-1'],
    ['shock absorber', 'DP-2'],
    ['tie rod end', 'TR-4'],
    ['grease fitting', 'GN-8'],
    ['fender', 'MG-1'],
    ['slotted nut', 'CN-24'],
    ['bushing', 'BU-35'],
    ['aluminum spacer', 'SC-9'],
    ['shaft seal', 'OS-45'],
    ['drive belt', 'VB-2120'],
    ['membrane', 'DI-90'],
    ['flail blade', 'FK-1'],
    ['shear pin', 'SB-12'],
    ['swivel pin', 'KP-30'],
    ['ring gear', 'CW-28'],
    ['petcock', 'DC-7'],
  ])('%s leads to %s', async (typed, number) => {
    expect(await firstOf(typed)).toBe(number)
  })

  test.each([
    ['pin split 6.3', 'SP-636', 'words in any order'],
    ['40 split', 'SP-540', 'a size before the noun'],
    ['pins, split', 'SP-540', 'several of them'],
    ['oil seals', 'OS-45', 'several, when the list has one'],
    ['set of bush', 'BU-36', 'one, when the list has several'],
    ['flail knives', 'FK-1', 'an irregular plural'],
    ['seal 45x90', 'OS-45', 'a size without spaces'],
    ['seal 45 × 90', 'OS-45', 'a size with the printed sign'],
    ['ball bearing 25 x 52', '6205-2RS', 'a size with spaces'],
    ['circ', 'CL-47', 'half a word'],
    ['brake sh', 'BS-200', 'half of the second word'],
    ['hose cla', 'HC-20', 'half of a word from over there'],
    ['v belt', 'VB-2120', 'a hyphen left out'],
    ['splitpin', 'SP-540', 'a space left out'],
    ['king pin', 'KP-30', 'a space put in'],
    ['nut for wheel', 'WN-18', 'small words do not count'],
    ['ose kette', 'PN-77', 'marks do not count'],
    ['BOHM öse', 'PN-77', 'nor in the name of the maker'],
    ['brindlewick pin', 'SP-540', 'the maker counts as a word'],
  ])('%s leads to %s: %s', async (typed, number) => {
    expect(await firstOf(typed)).toBe(number)
  })

  test.each([
    ['bearng housing', 'BH-3', 'a letter missing'],
    ['bearringg housing', 'BH-3', 'two too many in a long word'],
    ['silenser', 'SL-1', 'a letter wrong'],
    ['windsceren', 'WS-1', 'two letters swapped'],
    ['diafragm', 'DI-90', 'as it is said'],
    ['cottre pin', 'SP-540', 'in a word that only the list of words has'],
    ['muflfer', 'SL-1', 'in an American word'],
    ['grese nipple', 'GN-8', 'in the first of two words'],
    ['flail knief', 'FK-1', 'in the last of two words'],
    ['circlpi', 'CL-47', 'at the end'],
    ['brkae shoe', 'BS-200', 'swapped at the beginning'],
    ['brake sheo', 'BS-200', 'swapped in a word of four letters'],
    ['brake hsoe', 'BS-200', 'swapped at its beginning'],
    ['split pn', 'SP-540', 'missing in a word of three letters'],
    ['split ipn', 'SP-540', 'swapped in a word of three letters'],
    ['split pon', 'SP-540', 'wrong in a word of three letters'],
    ['castle nt', 'CN-24', 'missing in a nut'],
    ['roll pni', 'RP-6', 'in a word that begins nothing'],
    ['hose cilp', 'HC-20', 'in the last of two short words'],
    ['hoes clip', 'HC-20', 'where the slip is a word of its own'],
  ])('%s leads to %s: %s', async (typed, number) => {
    // The second typed long word has nine letters and two slips.
    expect(await firstOf(typed)).toBe(number)
  })

  // Signs that are taken for one another: common practice, no source.
  test.each([
    ['007O-551', '0070-551', 'the letter O for a nought'],
    ['OO7O 55I', '0070-551', 'O and I for noughts and a one'],
    ['ST43.I3l', 'ST43.131', 'I and l for ones'],
    ['B5-2OO', 'BS-200', '5 for S and O for nought'],
    ['6Z0S-2R5', '6205-2RS', 'Z for 2, S for 5 and back'],
    ['V8-2120', 'VB-2120', '8 for B'],
    ['QX B8/2O4-A', 'KP-30', "in a supplier's number"],
    ['ST43.I', 'ST43.130', 'in the beginning of a number'],
  ])('%s leads to %s: %s', async (typed, number) => {
    expect(await firstOf(typed)).toBe(number)
  })

  test('a number that only looks like what was typed says so, one that is what was typed does not', async () => {
    expect((await partSearch('BS-2OO'))[0]).toMatchObject({ number: 'BS-200', alike: true })
    expect((await partSearch('BS-200'))[0]).toMatchObject({ number: 'BS-200', alike: false })
  })

  test('the number as typed goes before one that looks like it', async () => {
    const twin = await aPart({ number: 'BS-2OO', description: 'Bolt, seat' })
    expect(await partSearchIds('BS-2OO', 10)).toEqual([twin])
    expect(await partSearchIds('BS-200', 10)).toEqual([workshop.ids.get('BS-200')])
  })

  test('the plainest description comes first', async () => {
    const numbers = (await partSearch('bearing')).map((part) => part.number)
    expect(numbers.slice(0, 3)).toEqual(['BH-3', 'ST43.130', 'ST43.131'].sort(byDescription))
    expect(numbers).toContain('6205-2RS')
  })

  test('a word put right is told, a word known is left alone', async () => {
    expect((await search('cottre pin', TAKES)).meant).toBe('cotter pin')
    expect((await search('cotter pin', TAKES)).meant).toBeNull()
    expect((await search('spring', TAKES)).meant).toBeNull()
  })

  test('what is nowhere answers nothing', async () => {
    expect(await partSearchIds('quinceblossom', 10)).toEqual([])
    expect(await partSearchIds('pin quinceblossom', 10)).toEqual([])
    expect(await partSearchIds(' -- , ', 10)).toEqual([])
  })
})

/** Order of a printed index. */
function byDescription(a: string, b: string): number {
  const order = ['BH-3', 'ST43.130', 'ST43.131']
  return order.indexOf(a) - order.indexOf(b)
}

describe('figures, machines and past jobs', () => {
  test.each(['5-04', '504', 'drum brake', 'brake drum', 'T6 brake', 'hub dunmarrow', 'trailer brake', 'brkae hub'])(
    '%s finds the figure of the brake',
    async (typed) => {
      expect((await search(typed, TAKES)).figures.map((figure) => figure.number)).toEqual(['5-04'])
    },
  )

  test.each([
    ['w01', 'W-01', 'a fleet number'],
    ['tb-1500', 'W-01', 'a serial number with another sign between'],
    ['TB 1499', 'T-02', 'a serial number with a space'],
    ['yard trailer', 'W-01', 'words of its name'],
    ['T6 yard', 'W-01', 'a word of its model and one of its name'],
  ])('%s finds machine %s: %s', async (typed, fleetNumber) => {
    expect((await search(typed, TAKES)).machines[0]?.fleetNumber).toBe(fleetNumber)
  })

  // What people call what a machine does: common practice, no source.
  test.each([
    ['binds, drags', 1],
    ['brake is binding', 1],
    ['drum overheats', 1],
    ['rumbles', 2],
    ['grinds at speed', 2],
    ['leaking oil', 3],
    ['oil drips', 3],
    ['job 2', 2],
  ])('%s finds job %s', async (typed, number) => {
    expect((await search(typed, TAKES)).jobs[0]?.number).toBe(number)
  })

  test('a past job says what was opened and what was renewed', async () => {
    const [job] = (await search('binds, drags', TAKES)).jobs
    expect(job).toMatchObject({
      fleetNumber: 'W-01',
      model: 'Dunmarrow T6',
      callouts: [
        { figureId: workshop.figureId, modelId: workshop.modelId, figure: '5-04 Hub and drum brake', item: '1' },
      ],
      renewed: [{ number: 'BS-200', quantity: 2 }],
    })
  })

  test('where no job has all the symptoms, the one with most of them comes first', async () => {
    const { jobs } = await search('binds hot vibrates sparks', TAKES)
    expect(jobs[0]?.number).toBe(1)
  })
})

describe('a narrowed search', () => {
  const numbers = async (typed: string, wish: Parameters<typeof searchFilterRead>[0]) => {
    const { filter } = await searchFilterRead(wish)
    const { parts } = await search(typed, TAKES, filter)
    return parts.map((part) => part.number).sort()
  }

  test('keeps to the parts on the figures of a model', async () => {
    expect(await numbers('brake', { modelId: workshop.modelId })).toEqual(['BD-200', 'BS-200'])
    expect(await numbers('circlip', { modelId: workshop.modelId })).toEqual([])
  })

  test('keeps to the lines whose break holds the serial number of the machine', async () => {
    expect(await numbers('brake drum', { machine: 'W-01' })).toEqual(['BD-200'])
    expect(await numbers('brake drum', { machine: 'TB1499' })).toEqual([])
    expect(await numbers('oil seal', { machine: 'tb 1499' })).toEqual(['OS-45'])
    expect(await numbers('oil seal', { machine: 'TB1500' })).toEqual([])
  })

  test('takes a serial number that is on no machine of ours when the model stands beside it', async () => {
    expect(await numbers('oil seal', { machine: 'TB 900', modelId: workshop.modelId })).toEqual(['OS-45'])
    expect((await searchFilterRead({ machine: 'TB 900' })).faults).toEqual([expect.stringContaining('TB 900')])
  })

  test('marks a line of which the serial number cannot tell', async () => {
    const { filter } = await searchFilterRead({ machine: 'QQ 7', modelId: workshop.modelId })
    expect(filter.parts?.get(workshop.ids.get('OS-45')!)).toBe('unknown')
    expect(filter.parts?.get(workshop.ids.get('BS-200')!)).toBe('applies')
  })

  test('lets what replaces a part of the model pass in its place', async () => {
    expect(await numbers('ST43.130', { modelId: workshop.modelId })).toEqual(['ST43.130', 'ST43.131'])
  })

  test('keeps to what lies on the shelf, and to a class', async () => {
    expect(await numbers('brake', { onShelf: true })).toEqual(['BD-200'])
    expect(await numbers('b', { partClass: 'brake-shoe' })).toEqual(['BS-200'])
    expect((await searchFilterRead({ partClass: 'nothing' })).faults).toHaveLength(1)
  })

  test('whatever is typed, a part that answers is found by its class as well, and none of another class', async () => {
    const words = BOOK.flatMap(([number, description]) => [number, number.slice(0, 4), ...description.split(/[ ,]+/)])
    const word = fc.oneof(
      fc.constantFrom(...words),
      fc.constantFrom('cotter pin', 'o-ring', 'front', '4 x 50', '6.3 x', 'l'),
    )
    const classes = ['bearing', 'brake-shoe', 'other'] as const
    const seen = new Set<string>()
    await fc.assert(
      fc.asyncProperty(fc.array(word, { minLength: 1, maxLength: 2 }), fc.boolean(), async (pieces, isClosed) => {
        const typed = pieces.join(' ').toLowerCase() + (isClosed ? ' ' : '')
        const question = questionRead(typed, THESAURUS)
        const all = await partsFind(question, NO_FILTER, 500)
        for (const partClass of classes) {
          const found = await partsFind(question, { ...NO_FILTER, partClass }, 500)
          const ids = [...workshop.ids].flatMap(([number, id]) =>
            classOf(BOOK.find(([one]) => one === number)![1]) === partClass ? [id] : [],
          )
          expect(found.filter(({ id }) => !ids.includes(id))).toEqual([])
          const lost = all.filter(({ id }) => ids.includes(id) && !found.some((one) => one.id === id))
          expect([typed, partClass, lost]).toEqual([typed, partClass, []])
          if (found.length > 0) seen.add(partClass)
        }
      }),
      { seed: 93, numRuns: 150 },
    )
    expect(seen.size).toBe(3)
  })

  test('shows jobs of that machine only', async () => {
    const { filter } = await searchFilterRead({ machine: 'T-02' })
    expect((await search('binds', TAKES, filter)).jobs).toEqual([])
  })
})
