import Form from 'next/form'
import Link from 'next/link'
import { type ReactNode, useId } from 'react'
import { ScanField } from '@/app/_parts/scan/scan-field.tsx'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { paths } from '@/app/paths.ts'
import { type PartHit, partSearch } from '@/lib/db/part-search.ts'
import type { StockUnit } from '@/lib/measure/quantity.ts'

export type PickedPart = Omit<PartHit, 'unit'> & { unit: StockUnit }

/** Find a part by number or word, then do something with it: `pick` renders what stands beside each hit. */
export async function PartPicker(props: {
  query: string
  action: string
  /** Fields of the address that the search keeps. */
  keeps?: Record<string, string | number>
  pick: (part: PickedPart) => ReactNode
}) {
  const field = useId()
  const hits = props.query.trim() === '' ? [] : await partSearch(props.query.slice(0, 100), 8)
  return (
    <div className="stack tight">
      {/* What was typed elsewhere on the page, such as counts, stays. */}
      <Form className="row end" action={props.action} scroll={false} prefetch={false}>
        {Object.entries(props.keeps ?? {}).map(([name, value]) => (
          <input type="hidden" key={name} name={name} value={value} />
        ))}
        <ScanField
          want="part"
          says={
            <>
              Scan<span className="visually-hidden"> a part</span>
            </>
          }
        >
          <div className="field">
            <label htmlFor={field}>Part number or word</label>
            <input id={field} type="search" name="q" defaultValue={props.query} />
          </div>
        </ScanField>
        <button type="submit" className="button">
          Find
        </button>
      </Form>
      {props.query.trim() !== '' && hits.length === 0 ? (
        <p className="empty">
          Nothing answers “{props.query}”. Try part of the number, or bring its parts list in with a{' '}
          <Link href={paths.figureImport()}>figure</Link>.
        </p>
      ) : null}
      {hits.map((hit) => (
        <div key={hit.id} className="row spread sheet">
          <p>
            <Link href={paths.part(hit.id)} className="number">
              {hit.number}
            </Link>{' '}
            {hit.description}{' '}
            <span className="small">
              <StockState stock={hit} unit={hit.unit as StockUnit} reorderPoint={hit.reorderPoint} />
            </span>{' '}
            {hit.alike ? <span className="badge">another number than typed: compare it with the plate</span> : null}
          </p>
          {props.pick({ ...hit, unit: hit.unit as StockUnit })}
        </div>
      ))}
    </div>
  )
}
