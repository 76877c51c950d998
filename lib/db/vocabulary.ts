import { matchAny, type Question, questionRead } from '../search/question.ts'
import type { Thesaurus } from '../search/thesaurus.ts'
import { SHORT_LETTERS_MAX, slipsAllowed, Vocabulary } from '../search/typing.ts'
import { database, Prisma } from './client.ts'

/** A word that one mechanic wrote once may be a slip itself. */
const JOB_WORDS_MIN = 2
/** While books are being brought in, the words are not gathered anew for every letter that is typed. */
const GATHERED_AGAIN_MS = 5_000
const GATHERED_LONGEST_MS = 600_000
/** What may have been meant, tried until one answers. */
const MEANT_MAX = 3
/** Words that may have been meant by one word: a short word has many that are one slip away. */
const MEANT_OF_WORD = 3
const MEANT_OF_SHORT = 8
/** Ways to put the question right of which it is asked whether any description holds them. */
const ASKED_MAX = 12

interface Gathered {
  state: string
  at: number
  thesaurus: Thesaurus
  vocabulary: Vocabulary
}
let gathered: Gathered | undefined

/** Changes when something was entered. A corrected spelling changes nothing here and is seen when the words are gathered next. */
async function booksState(): Promise<string> {
  const rows = await database().$queryRaw<{ name: string; seq: number | bigint }[]>`
    SELECT name, seq FROM sqlite_sequence WHERE name IN ('Part', 'Job', 'Figure', 'Machine', 'MachineModel') ORDER BY name`
  return rows.map(({ name, seq }) => `${name} ${seq}`).join()
}

/** Words with letters only, of three letters and more: nothing shorter is thought of in place of another word. */
async function wordsGather(thesaurus: Thesaurus): Promise<Vocabulary> {
  const rows = await database().$queryRaw<{ term: string; doc: number | bigint }[]>`
    SELECT term, SUM(doc) AS doc FROM (
      SELECT term, doc FROM part_vocabulary WHERE term >= 'a' AND length(term) > 2 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM figure_vocabulary WHERE term >= 'a' AND length(term) > 2 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM model_vocabulary WHERE term >= 'a' AND length(term) > 2 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM machine_vocabulary WHERE term >= 'a' AND length(term) > 2 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM job_vocabulary WHERE term >= 'a' AND doc >= ${JOB_WORDS_MIN} AND length(term) > 2 AND term NOT GLOB '*[0-9]*'
    ) GROUP BY term`
  const counts = new Map(rows.map(({ term, doc }) => [term, Number(doc)]))
  const { words } = thesaurus.symptoms ?? thesaurus
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1)
  return new Vocabulary(counts, words)
}

async function vocabularyNow(thesaurus: Thesaurus): Promise<Vocabulary> {
  const now = Date.now()
  const age = gathered === undefined || gathered.thesaurus !== thesaurus ? Number.POSITIVE_INFINITY : now - gathered.at
  if (gathered && age < GATHERED_AGAIN_MS) return gathered.vocabulary
  const state = await booksState()
  if (gathered && age < GATHERED_LONGEST_MS && gathered.state === state) return gathered.vocabulary
  gathered = { state, at: now, thesaurus, vocabulary: await wordsGather(thesaurus) }
  return gathered.vocabulary
}

/**
 * What may have been meant by a question with words that are written nowhere, likeliest first; nothing when all words are known.
 * `doubting`: short words that are written somewhere are doubted as well, because another word is only one slip away.
 */
export async function questionsMeant(
  question: Question,
  thesaurus: Thesaurus,
  { doubting = false }: { doubting?: boolean } = {},
): Promise<Question[]> {
  const words = question.terms.flatMap((term) => term.typed.split(' '))
  if (!words.some((word) => slipsAllowed(word.length) > 0)) return []
  const vocabulary = await vocabularyNow(thesaurus)
  const meant = words.map((word, at) => {
    const isOpen = question.open && at === words.length - 1
    const asIs = { isKnown: true, others: [word] }
    // Two letters alone may begin anything.
    if (word.length < 3 && words.length === 1) return asIs
    const isKnown = vocabulary.knows(word, isOpen)
    if (isKnown && !(doubting && vocabulary.doubts(word))) return asIs
    const take = word.length > SHORT_LETTERS_MAX ? MEANT_OF_WORD : MEANT_OF_SHORT
    const others = vocabulary.meant(word, isOpen, take)
    return others.length === 0 ? asIs : { isKnown, others: isKnown ? [word, ...others] : others }
  })
  const likeliest = meant.map(({ others }) => others[0]!)
  // The likeliest of each word first; then one after the other gives way to its next.
  const texts = [{ text: likeliest.join(' '), isDoubt: false }]
  for (let turn = 1; turn <= MEANT_OF_SHORT; turn++)
    for (const [at, { isKnown, others }] of meant.entries())
      if (others[turn] !== undefined)
        texts.push({ text: likeliest.with(at, others[turn]!).join(' '), isDoubt: isKnown })
  const asked = texts
    .filter(({ text }) => text !== words.join(' '))
    .slice(0, ASKED_MAX)
    .map(({ text, isDoubt }) => ({ isDoubt, question: questionRead(question.open ? text : `${text} `, thesaurus) }))
  if (asked.length === 0 || (asked.length === 1 && !asked[0]!.isDoubt)) return asked.map((one) => one.question)
  const written = await writtenTogether(asked.map((one) => one.question))
  return [
    ...asked.filter((_, at) => written.has(at)),
    // A word that is known gives way only to what a part is called.
    ...asked.filter(({ isDoubt }, at) => !written.has(at) && !isDoubt),
  ]
    .slice(0, MEANT_MAX)
    .map((one) => one.question)
}

/** Which of the questions the description of some part answers, by their place: one statement, the first hit of each is enough. */
async function writtenTogether(questions: readonly Question[]): Promise<Set<number>> {
  const asked = questions.flatMap((question, at) => {
    const match = matchAny(question)
    return match === null
      ? []
      : [
          Prisma.sql`SELECT ${at} AS at WHERE EXISTS (SELECT 1 FROM part_words WHERE part_words MATCH ${`description : (${match})`})`,
        ]
  })
  if (asked.length === 0) return new Set()
  const rows = await database().$queryRaw<{ at: number | bigint }[]>`${Prisma.join(asked, ' UNION ALL ')}`
  return new Set(rows.map(({ at }) => Number(at)))
}
