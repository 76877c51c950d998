import type { MovementsAddress } from '@/app/paths.ts'
import { type MovementQuestion, MovementQuestionRead } from '@/lib/stock/movement-search.ts'

export function movementQuestion(asked: Record<string, unknown>): MovementQuestion {
  const { q, part, kind, store, person, job, from, to } = asked
  // A field left empty by its form is a question not asked.
  const said = (value: unknown) => value || null
  return MovementQuestionRead.parse({
    words: q ?? '',
    partId: said(part),
    kind: said(kind),
    storeId: said(store),
    personId: said(person),
    jobNumber: said(job),
    from: said(from),
    to: said(to),
  })
}

/** What of an address could not be read or contradicts itself, in words; an empty list where all of it was used. */
export function movementFaults(asked: Record<string, unknown>, { jobNumber, from, to }: MovementQuestion): string[] {
  const said = (name: string) => (typeof asked[name] === 'string' ? (asked[name] as string).trim() : '')
  return [
    said('job') !== '' && jobNumber === null
      ? `“${said('job').slice(0, 40)}” is no job number; every job is shown.`
      : '',
    said('from') !== '' && from === null ? 'The first day is none on the calendar; it was left out.' : '',
    said('to') !== '' && to === null ? 'The last day is none on the calendar; it was left out.' : '',
    from !== null && to !== null && from > to ? 'The first day is after the last: nothing can lie between them.' : '',
  ].filter(Boolean)
}

export function movementAddress(question: MovementQuestion): MovementsAddress {
  return {
    q: question.words || undefined,
    part: question.partId ?? undefined,
    kind: question.kind ?? undefined,
    store: question.storeId ?? undefined,
    person: question.personId ?? undefined,
    job: question.jobNumber ?? undefined,
    from: question.from ?? undefined,
    to: question.to ?? undefined,
  }
}
