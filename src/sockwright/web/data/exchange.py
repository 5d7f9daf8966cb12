"""What may go out, as data."""

from __future__ import annotations

from fastapi import APIRouter
from pydantic import BaseModel, Field

from sockwright.web.context import AVisit
from sockwright.web.pairs_kept import not_deleted, pairs_of

router = APIRouter(prefix="/exchange", tags=["workshop"])


class OrderOut(BaseModel):
    """A pair's order that may go out."""

    id: str
    title: str
    address: str = Field(description="Where its TOML file is.")


class ExchangeData(BaseModel):
    """All that may go out."""

    orders: list[OrderOut]
    workshop: str = Field(description="Where the file of the whole workshop is.")
    holds: int = Field(description="Things in it that are not deleted.")


@router.get("")
def exchange(visit: AVisit) -> ExchangeData:
    """Where the orders and the whole workshop are to be had as files."""
    every = visit.shop.everything(None)
    return ExchangeData(
        orders=[
            OrderOut(id=one.id, title=one.sock.name, address=f"/socks/{one.id}/order.toml")
            for one in pairs_of(every)
        ],
        workshop="/exchange/workshop.json",
        holds=sum(map(len, not_deleted(every).values())),
    )
