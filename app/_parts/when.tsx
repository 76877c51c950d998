import { dateSays } from '@/lib/measure/date.ts'

/** A moment as a workshop writes it, with the time where it matters. */
export function When({ at, time = false }: { at: Date | string; time?: boolean }) {
  const moment = new Date(at)
  const text = time
    ? new Intl.DateTimeFormat('en-GB', {
        day: 'numeric',
        month: 'short',
        year: 'numeric',
        hour: '2-digit',
        minute: '2-digit',
      }).format(moment)
    : dateSays(at)
  return <time dateTime={moment.toISOString()}>{text}</time>
}
