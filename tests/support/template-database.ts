// Filled with the migrated template database; see tests/support/database.ts.
export default function setup() {}
