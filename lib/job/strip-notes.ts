import type { StripStepFile } from '../figure/schema.ts'
import { itemKey } from '../figure/strip-order.ts'
import { stepKeyRead } from './step-key.ts'

/** A figure's lines as its saved order has them, so that among parts free to come off the first in it goes first; the others follow. */
export function linesAsStripped<L extends { item: string }>(
  lines: readonly L[],
  steps: readonly StripStepFile[],
): readonly L[] {
  if (steps.length === 0) return lines
  const place = new Map(steps.map((step, at) => [itemKey(step.item), at]))
  const of = (line: L) => place.get(itemKey(line.item)) ?? steps.length
  return lines.toSorted((a, b) => of(a) - of(b))
}

/** The job card's strip steps with what the figure's order says at each: "Take off 9 Adjuster. Slacken it first". */
export function stripStepsNoted<S extends { key: string; text: string }>(
  steps: readonly S[],
  figure: { id: number; stripSteps?: readonly StripStepFile[] | undefined },
): S[] {
  const noteOf = new Map<string, string>(
    (figure.stripSteps ?? []).flatMap(({ item, note }) =>
      note === undefined ? [] : [[`${figure.id}:${itemKey(item)}`, note] as const],
    ),
  )
  return steps.map((step) => {
    const at = stepKeyRead(step.key)
    const note = at === null || at.around !== null ? undefined : noteOf.get(`${at.figureId}:${itemKey(at.item)}`)
    return note === undefined ? step : { ...step, text: `${step.text}. ${note[0]!.toUpperCase()}${note.slice(1)}` }
  })
}
