import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { EntryView } from '@/lib/db/service-book.ts'
import { fittedSays } from '@/lib/job/service-book.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { When } from './when.tsx'

/** An entry of the service book in short: when, what was told, what was done, what was fitted. */
export function BookEntry(props: { entry: EntryView; machineId: number; withMachine?: boolean }) {
  const { entry, machineId, withMachine } = props
  const { content } = entry
  return (
    <li className="sheet">
      <h3>
        <Link href={paths.serviceBookEntry(machineId, entry.id)} prefetch={false}>
          <When at={entry.writtenAt} />
          {content.job ? `, job ${content.job.number}` : ', correction'}
        </Link>
        {entry.hourTenths !== null ? <span className="soft small"> at {hoursFormat(entry.hourTenths)}</span> : null}
      </h3>
      {withMachine ? (
        <p>
          <span className="number">{content.machine.fleetNumber}</span> {content.machine.name}
        </p>
      ) : null}
      {content.complaint ? <p className="soft">{content.complaint}</p> : null}
      <p>{content.correction}</p>
      {content.fitted.length > 0 ? (
        <p className="small">
          {content.fitted
            .map(
              (line) =>
                `${line.item ? `(${line.item}) ` : ''}${quantityFormat(line.quantity, line.unit as StockUnit)} x ${line.partNumber} ${fittedSays(line)}`,
            )
            .join('; ')}
          {content.partsCostMinor > 0 ? ` - ${moneyFormat(content.partsCostMinor, content.currency)}` : ''}
        </p>
      ) : null}
      {entry.correctedBy.length > 0 ? <p className="badge">has a correction</p> : null}
    </li>
  )
}
