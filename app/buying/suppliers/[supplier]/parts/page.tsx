import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { supplierFacts } from '@/lib/db/supplier.ts'

export const metadata: Metadata = { title: 'Add a part to a supplier' }

export default async function SupplierPartsPage(props: {
  params: Promise<{ supplier: string }>
  searchParams: PageQuery
}) {
  await signedInWith('buying.order')
  const supplierId = idOf((await props.params).supplier)
  const query = queryText((await props.searchParams).q)
  const { name } = await found(supplierFacts(supplierId))
  return (
    <main className="page narrow stack" id="page">
      <PageHead up={paths.supplier(supplierId)} from={name} title="Which part do they sell?" />
      <PartPicker
        query={query}
        action={paths.supplierOffers(supplierId)}
        pick={(part) => (
          <Link className="button" href={paths.offer(supplierId, part.id)} prefetch={false}>
            Their offer<span className="visually-hidden"> of {part.number}</span>
          </Link>
        )}
      />
    </main>
  )
}
