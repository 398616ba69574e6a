"""Every error the core can raise, as one tree.

Each error carries a stable ``code``, the ``field`` it is about (a dotted path in the
request, or ``None``) and a ``message`` that says what was wrong and what to do.
Callers may catch :class:`GuylineError` for all of them.
"""

from __future__ import annotations


class GuylineError(Exception):
    """Base of all named errors.

    ``code`` never changes between releases; the message may be reworded.
    """

    code = "error"

    def __init__(self, message: str, *, field: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field


class RequestError(GuylineError):
    """The request could not be read at all."""

    code = "request_unreadable"


class RequestTooLarge(RequestError):
    """The request text is longer than the boundary accepts."""

    code = "request_too_large"


class UnknownOperation(RequestError):
    """No operation has this name."""

    code = "unknown_operation"


class MissingField(GuylineError):
    """A required field is absent or null."""

    code = "missing_field"


class UnknownField(GuylineError):
    """A field the operation does not know; never ignored, it may be a misspelling."""

    code = "unknown_field"


class WrongType(GuylineError):
    """Text where a number belongs, a number where a list belongs, and so on."""

    code = "wrong_type"


class NotFinite(GuylineError):
    """NaN or an infinity."""

    code = "not_finite"


class UnknownChoice(GuylineError):
    """A word outside the field's list of choices."""

    code = "unknown_choice"


class OutOfRange(GuylineError):
    """A number beyond what the quantity can be."""

    code = "out_of_range"


class WrongUnit(OutOfRange):
    """A number that is impossible in this unit and plausible in another."""

    code = "wrong_unit"


class Inconsistent(GuylineError):
    """Two inputs that are each possible contradict each other."""

    code = "inconsistent"


class Infeasible(GuylineError):
    """The inputs are consistent, and ask for something that cannot be done."""

    code = "infeasible"


class ReadingRefused(GuylineError):
    """A refraction reading that cannot mean anything (gas or air in the path, ...)."""

    code = "reading_refused"


class OpticsError(GuylineError):
    """No image can be formed with these numbers."""

    code = "no_image"


class NumpyNotReady(GuylineError):
    """The operation needs numpy, which has not been loaded yet. Ask again shortly."""

    code = "numpy_not_ready"


class RecordError(GuylineError):
    """A stored case or a file could not be read."""

    code = "record_unreadable"


class NewerRecord(RecordError):
    """The record was written by a newer version and is only shown, never rewritten."""

    code = "record_newer"


class FileError(RecordError):
    """A file that someone wants to bring in cannot be used."""

    code = "file_unreadable"


class NotThisKind(FileError):
    """The file is of another kind than its name or place says."""

    code = "file_wrong_kind"


class FileTooLarge(FileError):
    """More bytes, rows or members than are read."""

    code = "file_too_large"


class FileDamaged(FileError):
    """The file ends too early or its parts contradict each other."""

    code = "file_damaged"


class NulInText(FileError):
    """A text file with NUL bytes."""

    code = "file_nul_bytes"


class UnknownEncoding(FileError):
    """Bytes that are letters in none of the encodings that are read."""

    code = "file_encoding"


class MixedSeparators(FileError):
    """Lines of one file are separated in different ways."""

    code = "file_mixed_separators"


class BadHeader(FileError):
    """The line of names is absent, or a name stands there twice."""

    code = "file_bad_header"


class OpenQuote(FileError):
    """A quotation mark that is never closed."""

    code = "file_open_quote"


class FileEncrypted(FileError):
    """A transfer syntax that is not read, or encrypted parts."""

    code = "file_transfer_syntax"


class DicomNotReady(GuylineError):
    """The library that reads DICOM is not here."""

    code = "dicom_not_ready"
