-- CreateTable
CREATE TABLE "SavedView" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "personId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "query" TEXT NOT NULL
);

-- CreateIndex
CREATE UNIQUE INDEX "SavedView_personId_nameKey_key" ON "SavedView"("personId", "nameKey");

-- CreateIndex
CREATE INDEX "Movement_at_idx" ON "Movement"("at");
