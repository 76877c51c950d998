import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { queryId } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { type LabelAddress, paths } from '@/app/paths.ts'
import { LABELS_MAX, labelsRead } from '@/lib/db/label.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { type LabelAsked, labelAsked } from '@/lib/label/schema.ts'
import { Choice } from './choice.tsx'
import styles from './labels.module.css'
import { PaperFields } from './paper-fields.tsx'
import { Preview } from './preview.tsx'

export const metadata: Metadata = { title: 'Labels' }

const KINDS = [
  { of: 'bin', says: 'Bins' },
  { of: 'part', says: 'Parts' },
  { of: 'machine', says: 'Machines' },
  { of: 'batch', says: 'Batches' },
] as const

/** The paper stays the same while something else is chosen for it. */
function paperOf(asked: LabelAsked): LabelAddress {
  const { sheet, symbol, from, copies, right, down } = asked
  return { sheet: sheet.id, symbol, from, copies, right, down }
}

export default async function LabelsPage({
  searchParams,
}: {
  searchParams: Promise<Record<string, string | string[] | undefined>>
}) {
  await signedIn()
  const query = await searchParams
  const asked = labelAsked(query)
  const [labels, stores] = await Promise.all([
    labelsRead({ ...asked, storeId: asked.store, orderId: asked.order }),
    storesList(),
  ])
  const paper = paperOf(asked)
  const chosen: LabelAddress = {
    of: asked.of,
    ids: asked.ids.join(',') || undefined,
    store: asked.ids.length === 0 ? (asked.store ?? undefined) : undefined,
    order: asked.ids.length === 0 ? (asked.order ?? undefined) : undefined,
  }
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Labels">
        <nav className="row" aria-label="Labels of">
          {KINDS.map(({ of, says }) => (
            <Link
              key={of}
              className="button"
              aria-current={of === asked.of ? 'page' : undefined}
              href={paths.labels({ ...paper, of })}
              prefetch={false}
            >
              {of === asked.of ? '● ' : ''}
              {says}
            </Link>
          ))}
        </nav>
      </PageHead>
      <div className={styles.columns}>
        <div className="stack">
          <Choice
            asked={asked}
            labels={labels}
            stores={stores}
            paper={paper}
            search={typeof query.q === 'string' ? query.q : ''}
            order={queryId(query.order)}
          />
          <PaperFields asked={asked} chosen={chosen} />
        </div>
        <section className="stack" aria-labelledby="preview">
          <h2 id="preview">As it comes out of the printer</h2>
          {labels.length === 0 ? (
            <p className="empty">Nothing is chosen yet.</p>
          ) : (
            <>
              <div className="row">
                <a className="button primary big" href={paths.labelsPdf({ ...chosen, ...paper })} download>
                  Labels as PDF
                </a>
                <a className="button" href={paths.labelsTest(paper)} download>
                  Test page
                </a>
              </div>
              <p className="soft">
                Print at actual size, not “fit to page”. Print the test page on plain paper first, hold it against a
                sheet of labels and lay a steel rule along its ruler.
              </p>
              {labels.length === LABELS_MAX ? (
                <p className="caution">Only the first {LABELS_MAX} are here. Choose a store or single ones.</p>
              ) : null}
              <Preview labels={labels} asked={asked} />
            </>
          )}
        </section>
      </div>
    </main>
  )
}
