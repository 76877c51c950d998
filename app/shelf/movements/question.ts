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
