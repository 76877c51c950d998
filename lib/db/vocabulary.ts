import { type Question, questionRead } from '../search/question.ts'
import type { Thesaurus } from '../search/thesaurus.ts'
import { slipsAllowed, Vocabulary } from '../search/typing.ts'
import { database } from './client.ts'

/** A word that one mechanic wrote once may be a slip itself. */
const JOB_WORDS_MIN = 2
/** While books are being brought in, the words are not gathered anew for every letter that is typed. */
const GATHERED_AGAIN_MS = 5_000
const GATHERED_LONGEST_MS = 600_000
/** Words that may have been meant, tried until one answers. */
const MEANT_MAX = 3

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

/** Words with letters only, of four letters and more: shorter ones and numbers are never put right. */
async function wordsGather(thesaurus: Thesaurus): Promise<Vocabulary> {
  const rows = await database().$queryRaw<{ term: string; doc: number | bigint }[]>`
    SELECT term, SUM(doc) AS doc FROM (
      SELECT term, doc FROM part_vocabulary WHERE term >= 'a' AND length(term) > 3 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM figure_vocabulary WHERE term >= 'a' AND length(term) > 3 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM model_vocabulary WHERE term >= 'a' AND length(term) > 3 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM machine_vocabulary WHERE term >= 'a' AND length(term) > 3 AND term NOT GLOB '*[0-9]*'
      UNION ALL SELECT term, doc FROM job_vocabulary WHERE term >= 'a' AND doc >= ${JOB_WORDS_MIN} AND length(term) > 3 AND term NOT GLOB '*[0-9]*'
    ) GROUP BY term`
  const counts = new Map(rows.map(({ term, doc }) => [term, Number(doc)]))
  for (const word of (thesaurus.symptoms ?? thesaurus).words)
    if (word.length > 3) counts.set(word, (counts.get(word) ?? 0) + 1)
  return new Vocabulary(counts)
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

/** What may have been meant by a question with words that are written nowhere, likeliest first; nothing when all words are known. */
export async function questionsMeant(question: Question, thesaurus: Thesaurus): Promise<Question[]> {
  const words = question.terms.flatMap((term) => term.typed.split(' '))
  if (!words.some((word) => slipsAllowed(word.length) > 0)) return []
  const vocabulary = await vocabularyNow(thesaurus)
  const meant = words.map((word, at) => {
    const isOpen = question.open && at === words.length - 1
    return vocabulary.knows(word, isOpen) ? [] : vocabulary.meant(word, isOpen, MEANT_MAX)
  })
  if (meant.every((others) => others.length === 0)) return []
  // The likeliest of each word first; then one after the other gives way to its next.
  const texts = [words.map((word, at) => meant[at]![0] ?? word).join(' ')]
  for (const [at, others] of meant.entries())
    for (const other of others.slice(1))
      texts.push(words.map((word, of) => (of === at ? other : (meant[of]![0] ?? word))).join(' '))
  return texts.slice(0, MEANT_MAX).map((text) => questionRead(question.open ? text : `${text} `, thesaurus))
}
