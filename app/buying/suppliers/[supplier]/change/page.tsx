import { found, idOf } from '@/app/_parts/found.ts'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { supplierFacts } from '@/lib/db/supplier.ts'
import { settingsRead } from '@/lib/settings.ts'
import { changeSupplier } from '../../actions.ts'
import { SupplierFields } from '../../supplier-fields.tsx'

export const metadata = { title: 'Change a supplier' }

export default async function ChangeSupplierPage({ params }: { params: Promise<{ supplier: string }> }) {
  await signedInWith('buying.order')
  const supplierId = idOf((await params).supplier)
  const facts = await found(supplierFacts(supplierId))
  return (
    <main className="page narrow stack" id="page">
      <PageHead up={paths.supplier(supplierId)} from={facts.name} title="Change" />
      <ActionForm
        action={changeSupplier}
        formKey={freshKey()}
        hidden={{ supplierId }}
        submit="Keep it so"
        className="stack"
      >
        <SupplierFields facts={facts} currency={settingsRead().currency} hasPrices />
      </ActionForm>
    </main>
  )
}
