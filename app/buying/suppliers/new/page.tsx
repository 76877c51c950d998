import { PageHead } from '@/app/_parts/page-head.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { settingsRead } from '@/lib/settings.ts'
import { newSupplier } from '../actions.ts'
import { SupplierFields } from '../supplier-fields.tsx'

export const metadata = { title: 'Enter a supplier' }

export default async function NewSupplierPage() {
  await signedInWith('buying.order')
  return (
    <main className="page narrow stack" id="page">
      <PageHead up={paths.suppliers()} from="Suppliers" title="Enter a supplier" />
      <ActionForm action={newSupplier} formKey={freshKey()} submit="Enter it" className="stack">
        <SupplierFields currency={settingsRead().currency} />
      </ActionForm>
    </main>
  )
}
