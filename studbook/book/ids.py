"""The ids by which the rows of a book are known outside its file: UUIDs as text, one type for each kind."""

from typing import NewType

BirdId = NewType("BirdId", str)
"""A bird's UUID as text: its identity everywhere outside the file and outside arrays."""

MarkId = NewType("MarkId", str)
OriginId = NewType("OriginId", str)
ContactId = NewType("ContactId", str)
NoteId = NewType("NoteId", str)
PhotoId = NewType("PhotoId", str)
CertificateId = NewType("CertificateId", str)

HouseId = NewType("HouseId", str)
PenId = NewType("PenId", str)
StayId = NewType("StayId", str)
MoveId = NewType("MoveId", str)
MatingId = NewType("MatingId", str)
ConditionId = NewType("ConditionId", str)
CollectionId = NewType("CollectionId", str)
EggUseId = NewType("EggUseId", str)
MachineId = NewType("MachineId", str)
SittingId = NewType("SittingId", str)
BatchId = NewType("BatchId", str)
BatchPairId = NewType("BatchPairId", str)
MixedInId = NewType("MixedInId", str)
CandlingId = NewType("CandlingId", str)
EggFateId = NewType("EggFateId", str)
ReadingId = NewType("ReadingId", str)
HatchlingId = NewType("HatchlingId", str)
TrialId = NewType("TrialId", str)
TrialHenId = NewType("TrialHenId", str)
ApartId = NewType("ApartId", str)
JobId = NewType("JobId", str)
TickId = NewType("TickId", str)
FigureId = NewType("FigureId", str)
