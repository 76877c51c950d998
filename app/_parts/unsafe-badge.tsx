/** Stands wherever a machine is named that must not be used, until somebody releases it. */
export function UnsafeBadge() {
  return <span className="badge unsafe">Unsafe, do not use</span>
}
