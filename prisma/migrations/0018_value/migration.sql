-- CreateIndex
CREATE INDEX "Movement_partId_binId_at_quantity_valueMinor_idx" ON "Movement"("partId", "binId", "at", "quantity", "valueMinor");
