import { type Question, questionRead } from '../search/question.ts'
import { type PartHit, partHits } from './part-hit.ts'
import { partsFind } from './part-search.ts'
import { type FigureHit, figuresFind, type MachineHit, machinesFind, modelsNamed } from './place-search.ts'
import { NO_FILTER, type SearchFilter } from './search-filter.ts'
import { thesaurusNow } from './search-words.ts'
import { type JobHit, jobsRenewed, symptomsFind } from './symptom-search.ts'
import { questionsMeant } from './vocabulary.ts'

export type { FigureHit, JobHit, MachineHit, PartHit }

/** How many of each kind are wanted. */
export interface SearchTakes {
  parts: number
  figures: number
  machines: number
  jobs: number
  /** Without what was renewed on the jobs: for the list that is read while somebody types. */
  brief?: boolean
}

export interface SearchAnswer {
  /** By their own number or words. */
  parts: PartHit[]
  /** By the number a supplier prints. */
  supplierNumbers: PartHit[]
  figures: FigureHit[]
  machines: MachineHit[]
  /** Past jobs that tell of the same. */
  jobs: JobHit[]
  /** What was looked for instead, when a word was put right; null when it is what was typed. */
  meant: string | null
}

const isEmpty = (answer: SearchAnswer) =>
  answer.parts.length + answer.supplierNumbers.length + answer.figures.length + answer.machines.length === 0

/** Everything that answers what a person typed, each kind best first. Words are put right only where nothing else answers. */
export async function search(
  typed: string,
  takes: SearchTakes,
  filter: SearchFilter = NO_FILTER,
): Promise<SearchAnswer> {
  const thesaurus = await thesaurusNow()
  const question = questionRead(typed, thesaurus)
  const answer = await answerOf(question, takes, filter)
  if (!isEmpty(answer)) return answer
  for (const meant of await questionsMeant(question, thesaurus)) {
    const other = await answerOf(meant, takes, filter)
    if (!isEmpty(other) || other.jobs.length > 0) return { ...other, meant: meant.text.trim() }
  }
  return answer
}

async function answerOf(question: Question, takes: SearchTakes, filter: SearchFilter): Promise<SearchAnswer> {
  // A shelf and a class are of parts only: what has neither is not shown beside them.
  const partsOnly = filter.onShelf || filter.partClass !== null
  const hits = await partHits(await partsFind(question, filter, takes.parts))
  const named = partsOnly ? null : await modelsNamed(question)
  const figures = partsOnly ? [] : await figuresFind(question, named, filter, takes.figures)
  const machines = partsOnly ? [] : await machinesFind(question, named, filter, takes.machines)
  const heads = partsOnly ? [] : await symptomsFind(question, filter, takes.jobs)
  const jobs = takes.brief ? heads.map((head) => ({ ...head, callouts: [], renewed: [] })) : await jobsRenewed(heads)
  return {
    parts: hits.filter((hit) => hit.supplierNumber === null),
    supplierNumbers: hits.filter((hit) => hit.supplierNumber !== null),
    figures,
    machines,
    jobs,
    meant: null,
  }
}
