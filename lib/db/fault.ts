import { type Candidate, type Likely, likelyCallouts, type PastJob } from '../fault/rank.ts'
import { symptomSaid, symptomWords } from '../fault/symptom-word.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'

/** Newest jobs that are listened to; more would not change a ranking that is shown to ten. */
const JOBS_MAX = 20_000
const LIKELY_MAX = 8
const OFTEN_MAX = 4
const JOBS_SHOWN = 3
/** A like model that shares the figure counts for so much of the model itself. Common practice, no source. */
const LIKE_MODEL_WEIGHT = 0.6

export interface CalloutPlace {
  key: string
  figureId: number
  lineId: number
  figure: string
  item: string
  description: string
  partNumber: string
}

interface PlaceRow extends Omit<CalloutPlace, 'key' | 'figureId' | 'lineId'> {
  figureId: number | bigint
  lineId: number | bigint
  partClass: string
}

const keyOf = (figureId: number | bigint, item: string) => `${figureId}/${item}`

/** Callouts of all figures of a model with what is said of them, and the jobs that opened them on it and on like models. */
export async function faultEvidence(modelId: number): Promise<{
  places: Map<string, CalloutPlace>
  candidates: Candidate[]
  past: (PastJob & { machineId: number })[]
}> {
  const [rows, told] = await Promise.all([
    database().$queryRaw<PlaceRow[]>`
      SELECT l."figureId", MIN(l."id") AS "lineId", o."number" || ' ' || f."title" AS figure, l."item", l."description",
        p."number" AS "partNumber", p."partClass"
      FROM "FigureOfModel" o JOIN "Figure" f ON f."id" = o."figureId" JOIN "PartsListLine" l ON l."figureId" = f."id"
        JOIN "Part" p ON p."id" = l."partId"
      WHERE o."modelId" = ${modelId} AND l."retiredAt" IS NULL GROUP BY l."figureId", l."item" ORDER BY l."figureId", MIN(l."id")`,
    database().$queryRaw<
      {
        jobId: number | bigint
        machineId: number | bigint
        ofModel: number | bigint
        complaint: string
        figureId: number | bigint
        item: string
        partClass: string
      }[]
    >`
      SELECT j."id" AS "jobId", j."machineId", a."modelId" AS "ofModel", j."complaint", t."figureId", t."item", p."partClass"
      FROM "FigureOfModel" o JOIN "JobTarget" t ON t."figureId" = o."figureId" JOIN "Job" j ON j."id" = t."jobId"
        JOIN "Machine" a ON a."id" = j."machineId" JOIN "PartsListLine" l ON l."id" = t."lineId" JOIN "Part" p ON p."id" = l."partId"
      WHERE o."modelId" = ${modelId} AND j."state" = 'closed' AND j."kind" = 'repair' ORDER BY j."id" DESC LIMIT ${JOBS_MAX}`,
  ])
  const places = new Map<string, CalloutPlace>()
  const candidates: Candidate[] = []
  for (const { partClass, ...row } of rows) {
    const key = keyOf(row.figureId, row.item)
    places.set(key, { ...row, key, figureId: Number(row.figureId), lineId: Number(row.lineId) })
    candidates.push({ key, partClass, words: symptomWords(`${row.description} ${row.figure.replace(/^\S+ /, '')}`) })
  }
  const past = new Map<number, PastJob & { machineId: number; found: { key: string; partClass: string }[] }>()
  for (const row of told) {
    const id = Number(row.jobId)
    const job = past.get(id) ?? {
      id,
      machineId: Number(row.machineId),
      words: symptomWords(row.complaint),
      weight: Number(row.ofModel) === modelId ? 1 : LIKE_MODEL_WEIGHT,
      found: [],
    }
    job.found.push({ key: keyOf(row.figureId, row.item), partClass: row.partClass })
    past.set(id, job)
  }
  return { places, candidates, past: [...past.values()] }
}

export interface LikelyFault extends CalloutPlace {
  because: string[]
  /** Past jobs that opened it, whatever was told; and the most alike of those that speak for it. */
  found: number
  jobs: { id: number; number: number; complaint: string; correction: string; machine: string; closedAt: Date | null }[]
}

export interface FaultAnswer {
  machine: { id: number; name: string; fleetNumber: string; modelId: number; model: string }
  /** False: nothing on file knows any of the words, and the list is what failed most often. */
  isKnown: boolean
  likely: LikelyFault[]
}

/** Likely callouts of a machine for a complaint, with the past jobs that say so. An empty complaint gives none. */
export async function faultLikely(machineId: number, complaint: string): Promise<FaultAnswer> {
  const row = await database().machine.findUnique({
    where: { id: machineId },
    select: { id: true, name: true, fleetNumber: true, modelId: true, model: { select: { maker: true, name: true } } },
  })
  if (!row) throw new Refusal('machine/no-such', { machine: machineId })
  const machine = { ...row, model: `${row.model.maker} ${row.model.name}` }
  const told = symptomSaid(complaint)
  if (told.length === 0) return { machine, isKnown: complaint.trim() === '', likely: [] }
  const { places, candidates, past } = await faultEvidence(machine.modelId)
  const all = likelyCallouts(
    told.map(({ word }) => word),
    candidates,
    past,
  )
  const isKnown = all.some((one) => one.because.length > 0)
  const ranked = all.filter((one) => one.because.length > 0 || one.found > 0).slice(0, isKnown ? LIKELY_MAX : OFTEN_MAX)
  const jobs = await jobsTold(ranked)
  return {
    machine,
    isKnown,
    likely: ranked.map((one) => ({
      ...places.get(one.key)!,
      because: told.filter(({ word }) => one.because.includes(word)).map(({ said }) => said),
      found: past.filter((job) => job.found.some(({ key }) => key === one.key)).length,
      jobs: one.jobs.slice(0, JOBS_SHOWN).map((id) => jobs.get(id)!),
    })),
  }
}

async function jobsTold(ranked: readonly Likely[]): Promise<Map<number, LikelyFault['jobs'][number]>> {
  const ids = [...new Set(ranked.flatMap(({ jobs }) => jobs.slice(0, JOBS_SHOWN)))]
  const rows = await database().job.findMany({
    where: { id: { in: ids } },
    select: {
      id: true,
      number: true,
      complaint: true,
      correction: true,
      closedAt: true,
      machine: { select: { fleetNumber: true, name: true } },
    },
  })
  return new Map(
    rows.map(({ machine, ...job }) => [job.id, { ...job, machine: `${machine.fleetNumber} ${machine.name}` }]),
  )
}
