import type { PlainDate } from '../service/plain-date.ts'

export interface LineDue {
  confirmedOn: PlainDate | null
  promisedOn: PlainDate | null
}

/** When a line is looked for: the day named last on the telephone, else the day confirmed, else that of the whole order. */
export function lineDueOn({ confirmedOn, promisedOn }: LineDue, orderDueOn: PlainDate): PlainDate {
  return promisedOn ?? confirmedOn ?? orderDueOn
}

/** The first day on which something of an order is looked for: the earliest of the lines still due, else the order's own. */
export function orderDueOn(
  lines: readonly (LineDue & { quantity: number; received: number; cancelled: number })[],
  dueOn: PlainDate,
): PlainDate {
  const days = lines
    .filter((line) => line.quantity > line.received + line.cancelled)
    .map((line) => lineDueOn(line, dueOn))
    .sort()
  return days[0] ?? dueOn
}

/** Whether the supplier confirmed every line that is still due; a done order has nothing left to confirm. */
export function linesConfirmed(
  lines: readonly (LineDue & { quantity: number; received: number; cancelled: number })[],
): boolean {
  return lines.every((line) => line.confirmedOn !== null || line.quantity <= line.received + line.cancelled)
}
