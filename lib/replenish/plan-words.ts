import type { AnswerLine, Pegged } from './plan-answer.ts'

/** "job 214 (T3)", "the shelf: reorder point 2, up to 6" */
export function forWhatSays({ for: { job, machine, service, level } }: Pick<Pegged, 'for'>): string {
  if (job !== undefined) return machine === undefined ? `job ${job}` : `job ${job} (${machine})`
  if (service !== undefined) return machine === undefined ? service : `${service} (${machine})`
  if (machine !== undefined) return `machine ${machine}`
  return level === undefined ? 'a need' : `the shelf: ${level}`
}

/** What a line is ordered for: "4 for job 214 (T3), 2 for the shelf: reorder point 2, up to 6, 1 over". */
export function peggedSays(
  { pegged, spare }: Pick<AnswerLine, 'pegged' | 'spare'>,
  show: (part: string, quantity: number) => string,
): string {
  return [
    ...pegged.map((one) => `${show(one.part, one.quantity)} for ${forWhatSays(one)}`),
    ...spare.map(({ part, quantity }) => `${show(part, quantity)} over`),
  ].join(', ')
}
