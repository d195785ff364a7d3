"""Sends mail, and tells what surely did not go out from what may have."""

import smtplib
import ssl
from datetime import datetime
from email.message import EmailMessage
from email.policy import SMTP as CRLF
from email.utils import format_datetime, formataddr
from typing import Any

from app.notify.outcome import Fate, Message, Outcome

SECONDS = 20.0


def send_mail(account: Any, to: str, message: Message, now: datetime) -> Outcome:  # noqa: ANN401 - Apprise's
    """Send ``message`` through an account that Apprise understood, to one address."""
    try:
        server = _connected(account)
    except smtplib.SMTPAuthenticationError as error:
        return Outcome(Fate.FAILED, f"The mail server refused the account ({error.smtp_code}).")
    except (OSError, smtplib.SMTPException) as error:
        return Outcome(Fate.RETRY, f"The mail server could not be reached: {_said(error)}")
    try:
        return _handed_over(server, account.from_addr[1], to, _letter(account, to, message, now))
    finally:
        server.close()


def _connected(account: Any) -> smtplib.SMTP:  # noqa: ANN401
    context = ssl.create_default_context()
    if not account.verify_certificate:
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    if account.secure_mode == "ssl":
        server: smtplib.SMTP = smtplib.SMTP_SSL(
            account.smtp_host, account.port, timeout=SECONDS, context=context
        )
    else:
        server = smtplib.SMTP(account.smtp_host, account.port, timeout=SECONDS)
    try:
        if account.secure_mode == "starttls":
            server.starttls(context=context)
        if account.user and account.password:
            server.login(account.user, account.password)
        server.ehlo_or_helo_if_needed()
    except (OSError, smtplib.SMTPException):
        server.close()
        raise
    return server


def _letter(account: Any, to: str, message: Message, now: datetime) -> bytes:  # noqa: ANN401
    sender = account.from_addr[1]
    letter = EmailMessage(policy=CRLF)
    letter["From"] = formataddr((account.from_addr[0] or "Broodwater", sender))
    letter["To"] = to
    letter["Subject"] = message.title
    letter["Date"] = format_datetime(now)
    letter["Message-ID"] = f"<{message.name}@{sender.partition('@')[2] or 'broodwater.invalid'}>"
    letter["Auto-Submitted"] = "auto-generated"  # RFC 3834: nobody is away from a machine
    letter.set_content(message.text)
    if message.html:
        letter.add_alternative(message.html, subtype="html")
    return letter.as_bytes()


def _handed_over(server: smtplib.SMTP, sender: str, to: str, letter: bytes) -> Outcome:
    try:
        for code, words in (server.mail(sender), server.rcpt(to)):
            if code not in {250, 251}:
                return _refused(code, words)
    except (OSError, smtplib.SMTPException) as error:
        return Outcome(Fate.RETRY, f"The mail server hung up: {_said(error)}")
    try:
        code, words = server.data(letter)
    except smtplib.SMTPDataError as error:
        return _refused(error.smtp_code, error.smtp_error)
    except (OSError, smtplib.SMTPException) as error:
        return Outcome(
            Fate.UNKNOWN, f"The mail server did not say whether it took the message: {_said(error)}"
        )
    return Outcome(Fate.SENT) if code == 250 else _refused(code, words)


def _refused(code: int, words: bytes | str) -> Outcome:
    """Say what the server said; from 500 on it means it (RFC 5321, 4.2.1)."""
    said = words.decode(errors="replace") if isinstance(words, bytes) else words
    fate = Fate.FAILED if code >= 500 else Fate.RETRY
    return Outcome(fate, f"The mail server said {code}: {said.strip()[:160]}")


def _said(error: Exception) -> str:
    return (str(error).strip() or type(error).__name__)[:160]
