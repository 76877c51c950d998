import { hoursFormat } from '../machine/hour-meter.ts'
import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import type { DueState, ServiceDue, ServiceEvery } from './due.ts'

/** A state by word and by shape, never by colour alone. */
export const DUE_SHAPES: Record<DueState, { shape: string; words: string }> = {
  overdue: { shape: '▲', words: 'overdue' },
  due: { shape: '■', words: 'due' },
  soon: { shape: '◧', words: 'soon' },
  'not-due': { shape: '☐', words: 'not due' },
  'no-start': { shape: '–', words: 'no reading yet' },
}

/** "every 250.0 h or 12 months, whichever comes first" */
export function everySays(every: Pick<ServiceEvery, 'everyTenths' | 'everyMonths'>): string {
  const hours = every.everyTenths === null ? null : hoursFormat(every.everyTenths)
  const months = every.everyMonths === null ? null : every.everyMonths === 1 ? 'month' : `${every.everyMonths} months`
  return hours !== null && months !== null
    ? `every ${hours} or ${months}, whichever comes first`
    : `every ${hours ?? months}`
}

/** What is left or past by the counter that says so: "20.0 h left", "12 days over". */
export function leftSays(due: ServiceDue): string {
  if (due.by === 'hours' && due.leftTenths !== null)
    return due.leftTenths > 0
      ? `${hoursFormat(due.leftTenths)} left`
      : due.leftTenths === 0
        ? 'reached now'
        : `${hoursFormat(-due.leftTenths)} over`
  if (due.daysLeft === null) return ''
  if (due.daysLeft === 0) return 'today'
  return due.daysLeft > 0 ? `${counted(due.daysLeft, 'day')} left` : `${counted(-due.daysLeft, 'day')} over`
}

/** Both counters: "at 1,250.0 h or on 1 Mar 2027". */
export function dueAtSays(due: ServiceDue): string {
  const hours = due.dueAtTenths === null ? [] : [`at ${hoursFormat(due.dueAtTenths)}`]
  const date = due.dueOn === null ? [] : [`on ${dateSays(due.dueOn)}`]
  return [...hours, ...date].join(' or ')
}

/** From where it counts. */
export function fromSays(due: ServiceDue): string {
  if (due.from === null) return 'read its meter once; it counts from there'
  const { on, hourTenths, isDone } = due.from
  return `${isDone ? 'last done' : 'counted from the first reading'} ${dateSays(on)} at ${hoursFormat(hourTenths)}`
}

/** ", 25.0 h or 30 days sooner or later": how far from the mark it may be done. */
export function toleranceSays(every: Pick<ServiceEvery, 'toleranceTenths' | 'toleranceDays'>): string {
  const parts = [
    ...(every.toleranceTenths > 0 ? [hoursFormat(every.toleranceTenths)] : []),
    ...(every.toleranceDays > 0 ? [counted(every.toleranceDays, 'day')] : []),
  ]
  return parts.length === 0 ? '' : `, ${parts.join(' or ')} sooner or later`
}
