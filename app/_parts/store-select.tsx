/** Narrows a list to one store; nothing where there is only one. The name of its field is `store`. */
export function StoreSelect(props: {
  id: string
  stores: readonly { id: number; name: string }[]
  storeId: number | null
}) {
  const { id, stores, storeId } = props
  if (stores.length <= 1) return null
  return (
    <div className="field">
      <label htmlFor={id}>Store</label>
      <select id={id} name="store" defaultValue={storeId ?? ''}>
        <option value="">All stores</option>
        {stores.map((store) => (
          <option key={store.id} value={store.id}>
            {store.name}
          </option>
        ))}
      </select>
    </div>
  )
}
