import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { OldUnitRow } from '@/lib/db/deposit-read.ts'

/** Which part an old unit came off for. */
export function OldUnitSays({ unit }: { unit: OldUnitRow }) {
  return (
    <>
      <Link href={paths.part(unit.partId)} className="number strong" prefetch={false}>
        {unit.number}
      </Link>{' '}
      {unit.description}
      <br />
      <OldUnitFrom unit={unit} />
    </>
  )
}

/** Serial number, where it came off and how it looks. */
export function OldUnitFrom({ unit }: { unit: OldUnitRow }) {
  return (
    <span className="small">
      {unit.serialNumber ? (
        <>
          Serial number <span className="number">{unit.serialNumber}</span>,{' '}
        </>
      ) : (
        'No serial number, '
      )}
      {unit.machine ? <Link href={paths.machine(unit.machine.id)}>{unit.machine.says}</Link> : 'machine not known'}
      {unit.job ? (
        <>
          , <Link href={paths.job(unit.job.id)}>job {unit.job.number}</Link>
        </>
      ) : null}
      , kept <When at={unit.keptAt} />
      {unit.note ? `: ${unit.note}` : ''}
    </span>
  )
}
