import { found, idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { bookWhole } from '@/lib/db/book-whole.ts'
import { machineRead } from '@/lib/db/machine.ts'
import { type BookSheet, bookSheet } from '@/lib/job/book-sheet.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from '../../../_parts/sheet.module.css'
import { Sheet } from '../../../_parts/sheet.tsx'

export const metadata = { title: 'Service book on paper' }

/** As many as a person prints; the PDF goes further, and the dates of the search narrow it. */
const ENTRIES_MAX = 1000

/** The machine's whole service book, each entry as it was written with its corrections under it. */
export default async function PrintedBookPage({ params }: { params: Promise<{ machine: string }> }) {
  await signedIn()
  const machine = await found(machineRead(idOf((await params).machine)))
  const question = { said: '', machineId: machine.id, from: null, to: null }
  const items = await bookWhole(question, ENTRIES_MAX + 1)
  const sheets = items.slice(0, ENTRIES_MAX).map(({ entry, corrections }) => bookSheet(entry, corrections))
  return (
    <Sheet
      title={`Service book of ${machine.fleetNumber} ${machine.name}`}
      back={{ href: paths.serviceBook({ machine: machine.id }), says: 'Back to the service book' }}
      foot={`${machine.fleetNumber} ${machine.name}, service book`}
      facts={[
        ['Model', machine.model.name],
        ['S/N', machine.serialNumber ?? 'not on file'],
        ['Hours', hoursFormat(machine.hourTenths)],
        ['Holds', `${counted(sheets.length, 'entry', 'entries')}, newest first`],
      ]}
    >
      {sheets.length === 0 ? <p>Nothing written yet.</p> : null}
      {sheets.map((sheet, at) => (
        <Entry key={items[at]!.entry.id} sheet={sheet} />
      ))}
      {items.length > ENTRIES_MAX ? (
        <p>Older entries are not on this print. The service book’s dates narrow what is shown.</p>
      ) : null}
    </Sheet>
  )
}

function Entry({ sheet }: { sheet: BookSheet }) {
  return (
    <section className={styles.entry}>
      <h2>{sheet.heading}</h2>
      <p className={styles.when}>{sheet.written}</p>
      <dl className={styles.told}>
        {sheet.told.map(({ label, text }) => (
          <div key={`${label} ${text}`}>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {sheet.fitted.length > 0 ? <Fitted sheet={sheet} /> : null}
      {sheet.lists.map((list) => (
        <div key={list.title}>
          <h3>{list.title}</h3>
          <ul>
            {list.lines.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      ))}
      {sheet.corrections.map((one) => (
        <p key={`${one.written} ${one.text}`} className={styles.corrected}>
          <span className="strong">Corrected {one.written}:</span> {one.text}
        </p>
      ))}
    </section>
  )
}

function Fitted({ sheet }: { sheet: BookSheet }) {
  return (
    <table className={styles.list}>
      <caption>Fitted and used</caption>
      <thead>
        <tr>
          <th scope="col">Item</th>
          <th scope="col">Part number</th>
          <th scope="col">Description</th>
          <th scope="col" className={styles.right}>
            Quantity
          </th>
          <th scope="col" className={styles.right}>
            Cost
          </th>
        </tr>
      </thead>
      <tbody>
        {sheet.fitted.map((line) => (
          <tr key={`${line.item} ${line.number} ${line.description} ${line.quantity}`}>
            <td className="strong">{line.item}</td>
            <td className="number">{line.number}</td>
            <td>
              {line.description}
              {line.figure ? <span className="soft"> - {line.figure}</span> : null}
            </td>
            <td className={styles.right}>{line.quantity}</td>
            <td className={styles.right}>{line.cost}</td>
          </tr>
        ))}
        <tr className={styles.sum}>
          <td />
          <td />
          <td>Parts</td>
          <td />
          <td className={styles.right}>{sheet.cost}</td>
        </tr>
      </tbody>
    </table>
  )
}
