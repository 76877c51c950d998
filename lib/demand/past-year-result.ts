import { z } from 'zod'
import { INSTALLED_BASE } from './installed-base.ts'
import { type Method, USUAL_METHODS } from './method.ts'
import {
  YEAR_NONE,
  type YearAim,
  type YearPart,
  type YearSum,
  yearAdd,
  yearOfLevel,
  yearOfMethod,
  yearReal,
} from './past-year.ts'

const Sum = z.object({
  parts: z.number(),
  wanted: z.number(),
  served: z.number(),
  periods: z.number(),
  periodsMet: z.number(),
  periodsEmpty: z.number(),
  pieces: z.number(),
  value: z.number(),
  orders: z.number(),
})

const Kind = z.enum(['fill', 'cycle'])

const Group = z.object({
  /** Class of its parts; null for all of them. */
  partClass: z.string().nullable(),
  real: Sum,
  kept: Sum,
  ways: z.array(
    z.object({ name: z.string(), kind: Kind, points: z.array(z.object({ target: z.number(), sum: Sum })) }),
  ),
})
export type YearGroup = z.infer<typeof Group>

/** What the past year would have been, as it is kept. */
export const PastYear = z.object({
  /** The judged months, the first and the last. */
  from: z.string(),
  through: z.string(),
  neverTaken: z.number(),
  notInPieces: z.number(),
  withoutLevel: z.number(),
  groups: z.array(Group),
})
export type PastYear = z.infer<typeof PastYear>

/** Targets that are tried: what is asked for on the screen lies between them. */
export const TARGETS_TRIED = [0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995] as const
/** Pieces that a class must have been asked for in the year before it is looked at by itself; common practice, no source. */
export const CLASS_PIECES_LEAST = 20

export const SPREAD_NAME = `${INSTALLED_BASE.name}-spread`
const METHODS: readonly Method[] = [...USUAL_METHODS, INSTALLED_BASE]
const KINDS = ['fill', 'cycle'] as const

const aimsOf = (method: Method): YearAim[] =>
  (method === INSTALLED_BASE ? [false, true] : [false]).flatMap((isSpread) =>
    KINDS.map((kind) => ({ kind, targets: TARGETS_TRIED, isSpread })),
  )

/** The parts of each group by their places in the list: all of them, then each class that was asked for often enough. */
function groupsOf(parts: readonly YearPart[], real: readonly YearSum[]): { partClass: string | null; at: number[] }[] {
  const byClass = new Map<string, number[]>()
  for (const [at, { partClass }] of parts.entries()) byClass.set(partClass, [...(byClass.get(partClass) ?? []), at])
  const wanted = (places: readonly number[]) => places.reduce((sum, at) => sum + real[at]!.wanted, 0)
  return [
    { partClass: null, at: parts.map((_, at) => at) },
    ...[...byClass]
      .filter(([, at]) => at.length < parts.length && wanted(at) >= CLASS_PIECES_LEAST)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([partClass, at]) => ({ partClass, at })),
  ]
}

/** The past year under every method, under the levels kept now and as it was. `done` hears how far it is. */
export function pastYear(
  facts: { months: readonly string[]; parts: readonly YearPart[]; neverTaken: number; notInPieces: number },
  done: (steps: number, of: number) => void,
): PastYear {
  const { months, parts, neverTaken, notInPieces } = facts
  const real = parts.map(yearReal)
  const kept = parts.map((part) => yearOfLevel(part, part.kept))
  const groups = groupsOf(parts, real)
  const total = (sums: readonly YearSum[], at: readonly number[]) =>
    at.reduce((sum, one) => yearAdd(sum, sums[one]!), YEAR_NONE)
  const answer: YearGroup[] = groups.map(({ partClass, at }) => ({
    partClass,
    real: total(real, at),
    kept: total(kept, at),
    ways: [],
  }))
  for (const [nth, method] of METHODS.entries()) {
    done(nth, METHODS.length)
    if (parts.length === 0) continue
    const aims = aimsOf(method)
    for (const [which, byTarget] of yearOfMethod(method, parts, aims).entries()) {
      const { kind, isSpread } = aims[which]!
      for (const [group, { at }] of groups.entries())
        answer[group]!.ways.push({
          name: isSpread ? SPREAD_NAME : method.name,
          kind,
          points: byTarget.map((sums, target) => ({ target: TARGETS_TRIED[target]!, sum: total(sums, at) })),
        })
    }
  }
  return {
    from: months[0] ?? '',
    through: months.at(-1) ?? '',
    neverTaken,
    notInPieces,
    withoutLevel: parts.filter((part) => part.kept === null).length,
    groups: answer,
  }
}
