import { type Direction, directionsApart, directionsOf, positionRead } from '../search/position.ts'
import { type Question, questionRead } from '../search/question.ts'
import { type PartHit, partHits } from './part-hit.ts'
import { partsFind } from './part-search.ts'
import {
  type FigureHit,
  figuresFind,
  figuresOpened,
  type MachineHit,
  machinesFind,
  modelsNamed,
} from './place-search.ts'
import { NO_FILTER, type SearchFilter } from './search-filter.ts'
import { thesaurusNow } from './search-words.ts'
import { type JobHit, jobsRenewed, type SymptomsFound, symptomsFind } from './symptom-search.ts'
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
  /** Words for a side or an end that were read as the position, not looked for. */
  directions: Direction[]
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
  const { answer, isWhole } = await answerOf(question, takes, filter)
  if (!isEmpty(answer)) return answer
  for (const meant of await questionsMeant(question, thesaurus, { doubting: !isWhole })) {
    const { answer: other } = await answerOf(meant, takes, filter)
    if (!isEmpty(other) || other.jobs.length > 0) return { ...other, meant: meant.text.trim() }
  }
  return answer
}

/** The first of the questions that has an answer; the position is left out only where nothing answers with it. */
async function firstAnswer<T>(questions: readonly (Question | null)[], ask: (question: Question) => Promise<T[]>) {
  for (const question of questions) {
    const found = question ? await ask(question) : []
    if (found.length > 0) return found
  }
  return []
}

async function answerOf(
  question: Question,
  takes: SearchTakes,
  filter: SearchFilter,
): Promise<{ answer: SearchAnswer; isWhole: boolean }> {
  // A shelf and a class are of parts only: what has neither is not shown beside them.
  const partsOnly = filter.onShelf !== null || filter.partClass !== null
  const { directions, rest, thing } = positionRead(question)
  const asked = rest === question ? [question] : [question, rest]
  const hits = await partHits(await firstAnswer(asked, (one) => partsFind(one, filter, takes.parts)))
  const named = partsOnly ? null : await modelsNamed(question)
  const titled = partsOnly
    ? []
    : await firstAnswer(asked, async (one) =>
        figuresFind(one, one === question ? named : await modelsNamed(one), filter, takes.figures),
      )
  const machines = partsOnly ? [] : await machinesFind(question, named, filter, takes.machines)
  const told = partsOnly
    ? { jobs: [], isWhole: false }
    : await symptomsFind(rest ?? question, directions, filter, takes.jobs)
  const figures =
    titled.length > 0 || partsOnly || hits.length > 0
      ? titled
      : await figuresTold(told, thing, directions, filter, takes)
  const jobs = takes.brief
    ? told.jobs.map((head) => ({ ...head, callouts: [], renewed: [] }))
    : await jobsRenewed(told.jobs)
  return {
    isWhole: told.isWhole,
    answer: {
      parts: hits.filter((hit) => hit.supplierNumber === null),
      supplierNumbers: hits.filter((hit) => hit.supplierNumber !== null),
      figures,
      machines,
      jobs,
      meant: null,
      directions,
    },
  }
}

/**
 * A symptom names no figure: those that past jobs with the same symptoms were opened on, then those of the thing that does it,
 * "brake" of "brake binds". Figures of the other end of the machine stand last.
 */
async function figuresTold(
  told: SymptomsFound,
  thing: Question | null,
  directions: readonly Direction[],
  filter: SearchFilter,
  takes: SearchTakes,
): Promise<FigureHit[]> {
  const opened = told.isWhole ? await figuresOpened(told.jobs, filter, takes.figures) : []
  const ofThing = thing ? await figuresFind(thing, await modelsNamed(thing), filter, takes.figures) : []
  const isOpened = (one: FigureHit) => opened.some((other) => other.id === one.id && other.modelId === one.modelId)
  const figures = [...opened, ...ofThing.filter((one) => !isOpened(one))]
  const isElsewhere = (one: FigureHit) => directionsApart(directionsOf(one.title), directions)
  return [...figures.filter((one) => !isElsewhere(one)), ...figures.filter(isElsewhere)].slice(0, takes.figures)
}
