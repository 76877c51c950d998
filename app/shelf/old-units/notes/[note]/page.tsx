import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { OldUnitCaution } from '@/app/_parts/old-unit-forms.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import styles from '@/app/buying/buying.module.css'
import { paths } from '@/app/paths.ts'
import { returnNoteRead } from '@/lib/db/deposit-read.ts'
import { workshopName } from '@/lib/db/workshop.ts'
import { UNIT_STATES } from '@/lib/deposit/deposit.ts'
import { SEND_CAUTION } from '@/lib/deposit/deposit-text.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { Answer } from './answer.tsx'

interface Props {
  params: Promise<{ note: string }>
}

type Unit = Awaited<ReturnType<typeof returnNoteRead>>['units'][number]

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const { number } = await found(returnNoteRead(idOf((await params).note)))
  return { title: `Return note ${number}` }
}

/** Old units that went back together: the sheet that goes with them, and what the supplier made of each. */
export default async function ReturnNotePage({ params }: Props) {
  const who = await signedIn()
  const [note, workshop] = await Promise.all([found(returnNoteRead(idOf((await params).note))), workshopName()])
  const { currency } = settingsRead()
  const open = note.units.filter((unit) => unit.state === 'sent')
  return (
    <main className="page stack loose" id="page">
      <header className="page-head">
        <div>
          {workshop ? <p className={`strong ${styles.onPaper}`}>{workshop}</p> : null}
          <p className="over no-print">
            <Link href={paths.oldUnits()} prefetch={false}>
              Old units
            </Link>
          </p>
          <h1>Return note {note.number}</h1>
          <p>{note.supplier.name}</p>
        </div>
        <PrintButton>Print the return note</PrintButton>
      </header>
      <p>
        Sent <When at={note.sentAt} /> by {note.sentBy}
        {note.words ? `: ${note.words}` : ''}. Old units for exchange, deposits to be credited.
      </p>
      <div>
        <Units units={note.units} currency={currency} />
        <div className={styles.foot}>
          <p>
            Deposits in all{' '}
            <span className="strong">
              {moneyFormat(
                note.units.reduce((sum, unit) => sum + unit.depositMinor, 0),
                currency,
              )}
            </span>
          </p>
        </div>
      </div>
      {open.length > 0 ? <OldUnitCaution words={SEND_CAUTION} /> : null}
      <p className={styles.onPaper}>Received by, date: ______________________________</p>
      {open.length === 0 ? (
        <p className="done no-print">All of it is answered.</p>
      ) : mayDo(who.roles, 'buying.return') ? (
        <section className="stack no-print" aria-labelledby="answers">
          <h2 id="answers">What the supplier makes of it</h2>
          <p className="soft">
            {counted(open.length, 'old unit')} not answered yet. Enter what the credit note says of each.
          </p>
          <ul className="plain-list stack">
            {open.map((unit) => (
              <li key={unit.id} className="sheet">
                <Answer unit={unit} currency={currency} />
              </li>
            ))}
          </ul>
        </section>
      ) : (
        <MayNot right="buying.return" />
      )}
    </main>
  )
}

function Units({ units, currency }: { units: readonly Unit[]; currency: string }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Old units of this note</caption>
      <thead>
        <tr>
          <th scope="col">Line</th>
          <th scope="col">Part number, supplier’s number</th>
          <th scope="col">Description, serial number</th>
          <th scope="col">Your order</th>
          <th scope="col" className="right">
            Deposit
          </th>
          <th scope="col" className="no-print">
            Stands
          </th>
        </tr>
      </thead>
      <tbody>
        {units.map((unit, at) => (
          <tr key={unit.id}>
            <td>{at + 1}</td>
            <td>
              <Link href={paths.part(unit.partId)} className="number" prefetch={false}>
                {unit.number}
              </Link>
              {unit.supplierNumber ? (
                <>
                  <br />
                  <span className="number small">
                    <span className="visually-hidden">supplier’s number </span>
                    {unit.supplierNumber}
                  </span>
                </>
              ) : null}
            </td>
            <td className="wide">
              {unit.description}
              <br />
              {unit.serialNumber ? (
                <>
                  Serial number <span className="number">{unit.serialNumber}</span>
                </>
              ) : (
                'No serial number'
              )}
              {unit.note ? <span className="soft small">, {unit.note}</span> : null}
            </td>
            <td data-label="Order">{unit.order ?? 'before'}</td>
            <td className="right" data-label="Deposit">
              {moneyFormat(unit.depositMinor, currency)}
            </td>
            <td className="wide no-print" data-label="Stands">
              {standsSays(unit, currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** "☐ sent back", or what became of it with the money. */
function standsSays({ state, creditedMinor, lostMinor, words }: Unit, currency: string): string {
  if (state === 'sent') return `☐ ${UNIT_STATES.sent.says}`
  const money = [
    creditedMinor > 0 ? `${moneyFormat(creditedMinor, currency)} credited` : '',
    lostMinor > 0 ? `${moneyFormat(lostMinor, currency)} lost` : '',
  ].filter((part) => part !== '')
  return `${state === 'accepted' ? '■' : '✕'} ${UNIT_STATES[state].says}, ${money.join(', ')}${words ? ` (${words})` : ''}`
}
