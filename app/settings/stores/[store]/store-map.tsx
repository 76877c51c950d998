import Link from 'next/link'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { BinRow, StoreView } from '@/lib/db/place-read.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { mapSquares } from '@/lib/stock/store-map.ts'
import { mapBin } from '../actions.ts'
import styles from './store.module.css'

/** The store from above as squares, each with the bins that stand there. With `put` every square takes that bin. */
export function StoreMap(props: { store: StoreView; put: BinRow | undefined; mayChange: boolean }) {
  const { store, put, mayChange } = props
  const { columns, rows } = mapSquares(
    store.bins.flatMap(({ square }) => (square ? [square] : [])),
    put !== undefined,
  )
  const off = store.bins.filter((bin) => bin.square === null)
  const table = (
    <div className="scroll-x">
      <table className={styles.map}>
        <caption className="visually-hidden">Map of {store.name}, column by row</caption>
        <thead>
          <tr>
            <td />
            {columns.map((column) => (
              <th key={column} scope="col">
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row}>
              <th scope="row">{row}</th>
              {columns.map((column) => (
                <td key={column}>
                  {store.bins
                    .filter(({ square }) => square?.column === column && square.row === row)
                    .map((bin) => (
                      <Square key={bin.id} bin={bin} />
                    ))}
                  {put ? (
                    <SubmitButton
                      className="button quiet"
                      name="square"
                      value={`${column},${row}`}
                      aria-label={`Put ${put.code} in column ${column}, row ${row}`}
                    >
                      +
                    </SubmitButton>
                  ) : null}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
  return (
    <>
      {columns.length === 0 ? (
        <p className="empty">
          Nobody has drawn it yet.
          {mayChange && off.length > 0
            ? ' Choose a bin under “Bins that are not on the map”, then the square where it stands.'
            : ''}
        </p>
      ) : put ? (
        <ActionForm
          action={mapBin}
          formKey={freshKey()}
          hidden={{ binId: put.id }}
          aria-label={`Put ${put.code} on the map`}
        >
          <p>
            Where does <span className="number strong">{put.code}</span> stand? Press the square.
          </p>
          {table}
          <div className="row">
            {put.square ? (
              <SubmitButton className="button" name="square" value="off">
                Take it off the map
              </SubmitButton>
            ) : null}
            <Link className="button" href={paths.store(store.id)} prefetch={false}>
              Done
            </Link>
          </div>
        </ActionForm>
      ) : (
        table
      )}
      {mayChange && off.length > 0 ? (
        <details>
          <summary className="button quiet">Bins that are not on the map ({off.length})</summary>
          <ul className="plain-list row">
            {off.map((bin) => (
              <li key={bin.id}>
                <Link
                  className="button"
                  href={paths.store(store.id, { put: bin.id })}
                  prefetch={false}
                  aria-label={`Put ${bin.code} on the map`}
                >
                  <span className="number">{bin.code}</span>
                </Link>
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </>
  )
}

function Square({ bin }: { bin: BinRow }) {
  return (
    <Link className="button quiet" href={paths.bin(bin.id)} prefetch={false} aria-label={`Bin ${bin.code}`}>
      <span className="number">{bin.code}</span>
      {bin.kind === 'shelf' ? null : <span className="small soft">{BIN_KINDS[bin.kind].says}</span>}
    </Link>
  )
}
