"""Writes exact solids as one STEP assembly. Needs the optional extra `cad`."""

from __future__ import annotations

import io
from collections.abc import Sequence

from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Fail
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from casewright.geometry.model import Body, Piece
from casewright.outputs.exports.exact import exact_solid, transform_of


def step_text(title: str, things: Sequence[Piece | Body]) -> str:
    """An assembly of pieces and bodies, each in its own frame, placed in the cabinet's; without colors."""
    _silence()
    application = XCAFApp_Application.GetApplication_s()
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    application.InitDocument(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    assembly = shapes.NewShape()
    _name(assembly, title)
    for thing in things:
        label = shapes.AddShape(exact_solid(thing), False)
        _name(label, thing.key)
        place = TopLoc_Location(transform_of(thing.frame))
        _name(shapes.AddComponent(assembly, label, place), thing.key)
    shapes.UpdateAssemblies()
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetNameMode(True)
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    done = writer.Transfer(document, STEPControl_AsIs)
    buffer = io.BytesIO()
    assert done and writer.WriteStream(buffer) == IFSelect_RetDone
    return buffer.getvalue().decode("utf-8")


def _name(label: TDF_Label, text: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(text, True))


def _silence() -> None:
    """The kernel prints statistics; let it print failures only."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Fail)


__all__ = ["step_text"]
