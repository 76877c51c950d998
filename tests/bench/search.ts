import { search } from '../../lib/db/search.ts'
import { type SearchWish, searchFilterRead } from '../../lib/db/search-filter.ts'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { percentile, workEach } from './clock.ts'
import type { Generated } from './generate.ts'
import type { Measured } from './report.ts'
import { NOUNS, QUALITIES, SYMPTOMS, WHERE } from './words.ts'

const WARM = 20
const BAR_MS = 30
/** What the list under the search field asks for. */
const AS_YOU_TYPE = { parts: 6, figures: 3, machines: 3, jobs: 3, brief: true }
/** What the page of answers asks for. */
const PAGE = { parts: 50, figures: 12, machines: 12, jobs: 12 }

/** A letter wrong, missing, doubled or swapped with its neighbour, not in the first two. */
function slip(word: string, random: () => number): string {
  const at = randomInteger(random, 2, word.length - 2)
  return randomPick(random, [
    `${word.slice(0, at)}q${word.slice(at + 1)}`,
    word.slice(0, at) + word.slice(at + 1),
    word.slice(0, at) + word[at] + word.slice(at),
    word.slice(0, at) + word[at + 1] + word[at] + word.slice(at + 2),
  ])
}

/** Every kind of answer measured by itself: parts, figures, machines and past jobs together, as the list and the page ask. */
export async function searchKindsMeasure(data: Generated, rounds: number): Promise<Measured[]> {
  const random = randomSeeded('bench search kinds')
  const noun = () => randomPick(random, NOUNS)[0]
  const longNoun = () =>
    noun()
      .split(' ')
      .find((word) => word.length >= 6) ?? 'bearing'
  const ofModel = (): SearchWish => ({ modelId: randomInteger(random, 1, data.sizes.models) })
  const kinds: { what: string; typed: () => string; wish?: () => SearchWish; page?: boolean }[] = [
    { what: 'exact number', typed: () => randomPick(random, data.parts).number.replace(/[-.]/g, ' ').toLowerCase() },
    { what: 'beginning of a number', typed: () => randomPick(random, data.parts).number.slice(0, 5) },
    { what: "supplier's number", typed: () => String(100_000 + randomInteger(random, 1, data.sizes.parts / 10)) },
    { what: 'one or two letters', typed: () => noun().slice(0, randomInteger(random, 1, 2)) },
    { what: 'two words, any order', typed: () => `${randomPick(random, QUALITIES)} ${noun()}` },
    {
      what: 'American word',
      typed: () => randomPick(random, ['cotter pin', 'snap ring', 'hose clamp', 'bushing', 'grease fitting']),
    },
    { what: 'slip of the finger', typed: () => slip(longNoun(), random) },
    {
      what: 'slip in a short word',
      typed: () =>
        randomPick(random, ['brake sheo', 'split pn', 'hose cilp', 'catsle nt', 'bracket lfet', 'flail knfe']),
    },
    {
      what: 'number with signs that look alike',
      typed: () => randomPick(random, data.parts).number.replaceAll('0', 'O').replaceAll('1', 'I'),
    },
    {
      what: 'symptom with a side',
      typed: () =>
        `${randomPick(random, ['left', 'RH', 'near side'])} ${randomPick(random, WHERE)} ${randomPick(random, SYMPTOMS)}`,
    },
    { what: 'word that is nowhere', typed: () => 'quinceblossom' },
    { what: 'symptom', typed: () => `${randomPick(random, WHERE)} ${randomPick(random, SYMPTOMS)}` },
    { what: 'two words, parts of a model', typed: () => `${randomPick(random, QUALITIES)} ${noun()}`, wish: ofModel },
    {
      what: 'one word, serial number of a machine',
      typed: noun,
      wish: () => ({ machine: `M${randomInteger(random, 1, data.sizes.models)}` }),
    },
    {
      what: 'two words, on shelf and of a class',
      typed: () => `front ${noun()}`,
      wish: () => ({ onShelf: true, partClass: 'bearing' }),
    },
    { what: 'page of two words', typed: () => `${randomPick(random, QUALITIES)} ${noun()}`, page: true },
    {
      what: 'page of a symptom',
      typed: () => `${randomPick(random, WHERE)} ${randomPick(random, SYMPTOMS)}`,
      page: true,
    },
  ]
  const measured: Measured[] = []
  for (const { what, typed, wish, page } of kinds) {
    const asked = Array.from({ length: rounds + WARM }, () => ({ text: typed(), wish: wish?.() ?? {} }))
    const { times, works } = await workEach(rounds + WARM, async (round) => {
      const { text, wish: narrowed } = asked[round]!
      const { filter } = await searchFilterRead(narrowed)
      await search(text, page ? PAGE : AS_YOU_TYPE, filter)
    })
    const warm = times.slice(WARM)
    const work = works.slice(WARM)
    measured.push(
      { what: `search, ${what}, p50`, unit: 'ms', measured: percentile(warm, 0.5), bar: null },
      { what: `search, ${what}, p95 of its own work`, unit: 'ms', measured: percentile(work, 0.95), bar: null },
      {
        what: `search, ${what}, p95`,
        unit: 'ms',
        measured: percentile(warm, 0.95),
        bar: { value: BAR_MS, is: 'at most' },
      },
    )
  }
  return measured
}
