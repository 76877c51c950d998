import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'

export const metadata: Metadata = { title: 'Bins' }

export default async function BinsPage() {
  const who = await signedIn()
  const bins = await binsList()
  const stores = [...new Set(bins.map((bin) => bin.store))]
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Bins">
        <nav className="row" aria-label="Counting">
          <Link className="button" href={paths.countDue()} prefetch={false}>
            Count due
          </Link>
          <Link className="button" href={paths.countKept()} prefetch={false}>
            Counts kept
          </Link>
          <Link className="button" href={paths.stores()} prefetch={false}>
            Stores and bins
          </Link>
        </nav>
      </PageHead>
      <div className="stack loose">
        {bins.length === 0 ? (
          <p className="empty">
            No bins yet. Set them up under <Link href={paths.stores()}>Stores and bins</Link>.
          </p>
        ) : null}
        {stores.map((store, at) => (
          <section className="stack" key={store} aria-labelledby={`store-${at}`}>
            <div className="row spread">
              <h2 id={`store-${at}`}>{store}</h2>
              <div className="row">
                {mayDo(who.roles, 'stock.count') ? (
                  <Link
                    className="button primary"
                    href={paths.count({ store: bins.find((bin) => bin.store === store)!.storeId })}
                    prefetch={false}
                  >
                    Count on a walk<span className="visually-hidden"> through {store}</span>
                  </Link>
                ) : null}
                <Link
                  className="button"
                  href={paths.labels({ of: 'bin', store: bins.find((bin) => bin.store === store)!.storeId })}
                  prefetch={false}
                >
                  Labels<span className="visually-hidden"> for the bins of {store}</span>
                </Link>
              </div>
            </div>
            <p className="soft">In walking order. Open a bin to count it, take from it or move parts.</p>
            <ul className="plain-list row">
              {bins
                .filter((bin) => bin.store === store)
                .map((bin) => (
                  <li key={bin.id}>
                    <Link className="button" href={paths.bin(bin.id)} prefetch={false}>
                      <span className="number">{bin.code}</span>
                      <span className="soft small">
                        {bin.parts === 0 && bin.oldUnits === 0 ? 'empty' : null}
                        {bin.parts > 0 ? counted(bin.parts, 'part') : null}
                        {bin.oldUnits > 0 ? ` ${counted(bin.oldUnits, 'old unit')}` : null}
                      </span>
                      {bin.kind === 'shelf' ? null : <span className="soft small">{BIN_KINDS[bin.kind].says}</span>}
                    </Link>
                  </li>
                ))}
            </ul>
          </section>
        ))}
      </div>
    </main>
  )
}
