import Link from 'next/link'
import type { FittedSays } from './fitted-says.ts'
import styles from './last-fitted.module.css'

/** So many are read at a glance; a rotor of two dozen stations has more. */
const SHOWN = 3

/** On the part card: what went in here last, when, at how many hours and in which job. */
export function LastFittedCard({ fitted, where }: { fitted: FittedSays[]; where: string }) {
  if (fitted.length === 0) return <p className="small soft">No service book entry says that it was renewed{where}.</p>
  return (
    <div className={styles.last}>
      <p className="strong">Last fitted{where}</p>
      <List fitted={fitted.slice(0, SHOWN)} />
      {fitted.length > SHOWN ? (
        <details>
          <summary>{fitted.length - SHOWN} earlier</summary>
          <List fitted={fitted.slice(SHOWN)} />
        </details>
      ) : null}
    </div>
  )
}

function List({ fitted }: { fitted: FittedSays[] }) {
  return (
    <ul className="plain-list">
      {fitted.map((one) => (
        <li key={`${one.entry.href} ${one.places} ${one.number}`}>
          {one.places ? <span className="strong">{one.places}: </span> : null}
          <span className="number">{one.number}</span>, {one.when},{' '}
          <Link href={one.entry.href} prefetch={false}>
            {one.entry.says}
          </Link>
          {one.corrections.map((text) => (
            <span key={text} className={styles.corrected}>
              Corrected: {text}
            </span>
          ))}
        </li>
      ))}
    </ul>
  )
}

/** Signs of "non-drive end": a longer row of stations stands on the card only. */
const PLACES = 13

/** In the parts list: the newest only, and that there is more. */
export function LastFittedRow({ fitted }: { fitted: FittedSays[] }) {
  const [newest] = fitted
  if (!newest) return null
  return (
    <span className={`small soft ${styles.row}`}>
      last fitted {newest.when}
      {newest.places !== '' && newest.places.length <= PLACES ? ` (${newest.places})` : ''}
      {newest.number.startsWith('fitted as') ? `, ${newest.number}` : ''}
    </span>
  )
}
