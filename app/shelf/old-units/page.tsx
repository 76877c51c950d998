import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { OldUnitSays } from '@/app/_parts/old-unit-says.tsx'
import { OldUnitsAsked } from '@/app/_parts/old-units-asked.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { depositsOwed, depositsSettled, returnNotes, type SettledLine } from '@/lib/db/deposit-read.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { SupplierDeposits } from './supplier-deposits.tsx'
import { UnitMore } from './unit-more.tsx'

export const metadata: Metadata = { title: 'Old units' }

const SETTLED: Record<SettledLine['kind'], string> = {
  credited: '■ credited',
  lost: '✕ lost',
  reversed: '↺ receipt reversed',
}

export default async function OldUnitsPage() {
  const who = await signedIn()
  const [{ suppliers, without, owedMinor }, notes, settled, bins] = await Promise.all([
    depositsOwed(todayIs()),
    returnNotes(),
    depositsSettled(),
    binsList(),
  ])
  const { currency } = settingsRead()
  const oldBins = bins.filter((bin) => bin.kind === 'old-units')
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.shelf()} from="Shelf" about="exchange parts and their deposits" title="Old units" />
      {suppliers.length === 0 ? (
        <p className="empty">
          No deposit is owed. When an exchange part is received, what its supplier charged until the old unit is back
          stands here. The deposit is entered on the part card.
        </p>
      ) : (
        <section className="stack tight" aria-labelledby="owed">
          <h2 id="owed">Owed by suppliers: {moneyFormat(owedMinor, currency)}</h2>
          <ul className="plain-list">
            {suppliers.map((owes) => (
              <li key={owes.id}>
                <a href={`#supplier-${owes.id}`}>{owes.name}</a>:{' '}
                <span className="strong">{moneyFormat(owes.owedMinor, currency)}</span> on{' '}
                {counted(owes.pieces, 'piece')}
                {owes.sentMinor > 0 ? `, ${moneyFormat(owes.sentMinor, currency)} of it sent back` : ''}
                {owes.overdueMinor > 0 ? (
                  <span className="strong">, ▲ {moneyFormat(owes.overdueMinor, currency)} overdue</span>
                ) : null}
              </li>
            ))}
          </ul>
        </section>
      )}
      <OldUnitsAsked roles={who.roles} />
      {mayDo(who.roles, 'buying.return') ? null : <MayNot right="buying.return" />}
      {suppliers.map((owes) => (
        <SupplierDeposits key={owes.id} owes={owes} currency={currency} roles={who.roles} bins={oldBins} />
      ))}
      {without.length > 0 ? (
        <section className="stack tight" aria-labelledby="without">
          <h2 id="without">Kept without a deposit</h2>
          <p className="soft">No deposit is owed on their part: spare ones, or ones whose deposit stands elsewhere.</p>
          <ul className="plain-list stack">
            {without.map((unit) => (
              <li key={unit.id} className="stack tight">
                <p>
                  <OldUnitSays unit={unit} />
                  {unit.bin ? <span className="badge">bin {unit.bin.code}</span> : null}
                </p>
                <UnitMore unit={unit} roles={who.roles} bins={oldBins} />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {notes.length > 0 ? (
        <section className="stack tight" aria-labelledby="notes">
          <h2 id="notes">Return notes</h2>
          <ul className="plain-list">
            {notes.map((note) => (
              <li key={note.id}>
                <Link href={paths.returnNote(note.id)} prefetch={false}>
                  Return note {note.number}
                </Link>
                , {note.supplier}, <When at={note.sentAt} />: {counted(note.units, 'old unit')}
                {note.open > 0 ? `, ☐ ${note.open} not answered` : ', ■ answered'}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {settled.length > 0 ? (
        <section className="stack tight" aria-labelledby="settled">
          <h2 id="settled">Credited and lost</h2>
          <ul className="plain-list">
            {settled.map((line) => (
              <li key={line.id}>
                <When at={line.at} />: {SETTLED[line.kind]} {moneyFormat(line.amountMinor, currency)},{' '}
                <Link href={paths.part(line.partId)} className="number" prefetch={false}>
                  {line.number}
                </Link>{' '}
                {line.description}, {line.supplier}
                {line.words ? <span className="soft"> ({line.words})</span> : null}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </main>
  )
}
