"""The passphrase: standards' own vectors, nothing readable on the disk, nothing lost at any failure."""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.store_page import CODE, OTHER, run
from webapp.build import browser as chromium

PASSPHRASE, NEXT = "four grey herons wading", "three long boats at rest"

#: RFC 7914, section 11: (password, salt, rounds, 64 bytes).
PBKDF2 = [
    ("passwd", "salt", 1,
     ("55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"
     "49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783")),
    ("Password", "NaCl", 80000,
     ("4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"
     "a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d")),
]

#: McGrew and Viega, The Galois/Counter Mode of Operation, appendix B, test cases 13, 14 and 16:
#: (key, nonce, additional data, plain, cipher and tag).
GCM = [
    ("00" * 32, "00" * 12, "", "", "530f8afbc74536b9a963b4f1c4cb738b"),
    ("00" * 32, "00" * 12, "", "00" * 16, "cea7403d4d606b6e074ec5d3baf39d18d0d1c8a799996bf0265b98b5d48ab919"),
    ("feffe9928665731c6d6a8f9467308308" * 2, "cafebabefacedbaddecaf888",
     "feedfacedeadbeeffeedfacedeadbeefabaddad2",
     ("d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72"
     "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39"),
     ("522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa"
     "8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662"
     "76fc6ece0f4e1768cddf8853bb2d551b")),
]


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


@pytest.fixture
def opened(page: Page, app_url: str) -> Page:
    """The app, open on its list of eyes."""
    page.goto(app_url)
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
    return page


def test_the_standards_vectors(opened: Page) -> None:
    derived, sealed = run(opened, """
      const { derivedBits, encrypt, importKey } = await from("store/cipher.js");
      const hex = (bytes) => Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
      const bytes = (text) => Uint8Array.from(text.match(/../g) ?? [], (one) => parseInt(one, 16));
      const salt = (text) => new TextEncoder().encode(text);
      const derived = await Promise.all(given.pbkdf2.map(async ([secret, text, rounds]) =>
        hex(await derivedBits(secret, salt(text), rounds, 512))));
      const sealed = await Promise.all(given.gcm.map(async ([key, iv, data, plain]) =>
        hex(await encrypt(await importKey(bytes(key)), bytes(iv), bytes(data), bytes(plain)))));
      return [derived, sealed];""", pbkdf2=PBKDF2, gcm=GCM)
    assert derived == [row[-1] for row in PBKDF2]
    assert sealed == [row[-1] for row in GCM]


def test_a_passphrase_is_told_from_damage_and_can_be_changed(opened: Page) -> None:
    told = run(opened, f"""await make("{CODE}"); await make("{OTHER}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      const {{ StoreError }} = await from("store/errors.js");
      const recovery = await store.setPassphrase(given.first);
      const ring = await store.ring();
      const flipped = async () => {{
        const row = await store.database.run(["eyes"], "readonly", (one) => one.objectStore("eyes").get("{OTHER}"));
        row.bytes[3] ^= 1;
        await store.database.run(["eyes"], "readwrite", (one) => one.objectStore("eyes").put(row));
      }};
      await flipped();
      const damaged = (await store.damaged()).map((one) => [one.code, one.why]);
      await flipped();
      const swapped = await store.database.run(["eyes"], "readwrite", async (one) => {{
        const eyes = one.objectStore("eyes");
        const [a, b] = [await eyes.get("{CODE}"), await eyes.get("{OTHER}")];
        await eyes.put({{ ...a, code: "{OTHER}" }});
        return b;
      }});
      const mixed = (await store.damaged()).map((one) => one.code);
      await store.database.run(["eyes"], "readwrite", (one) => one.objectStore("eyes").put(swapped));
      await store.changePassphrase(given.first, given.next);
      await store.lock();
      const refused = [await refusal(store.list()), await refusal(store.unlock(given.first)), await refusal(store.unlock(given.next.slice(1)))];
      await store.unlock(given.next);
      const value = (await store.read("{CODE}")).plan.target_d;
      await store.lock();
      const mistyped = await refusal(store.unlock("A" + recovery.slice(1), "recovery"));
      await store.unlock(recovery.toLowerCase(), "recovery");
      const again = (await store.read("{CODE}")).plan.target_d;
      const bad = structuredClone(ring);
      bad.wraps.passphrase.salt = "AAAAAAAAAAAAAAAAAAAAAA==";
      const keep = (value) => store.database.run(["preferences"], "readwrite", (one) => one.objectStore("preferences").put({{ name: "keys", value }}));
      await keep(bad);
      await store.lock();
      await store.unlock(given.next);
      localStorage.removeItem("guyline.keys");
      await store.lock();
      const keys = await refusal(store.unlock(given.next));
      await keep(ring);
      await store.unlock(given.first);
      return {{ damaged, mixed, refused, value, mistyped, again, keys, rounds: ring.wraps.passphrase.rounds, kdf: ring.kdf, locked: store.locked }};""",
               first=PASSPHRASE, next=NEXT)
    assert told["damaged"] == [[OTHER, "it cannot be deciphered"]]
    assert told["mixed"] == [OTHER], "a sealed record put in another's place must not open"
    assert [one["code"] for one in told["refused"]] == ["locked", "wrong_passphrase", "wrong_passphrase"]
    assert (told["value"], told["again"]) == (-0.5, -0.5)
    assert told["mistyped"]["code"] in ("mistyped_recovery", "wrong_passphrase")
    assert told["keys"]["code"] == "damaged_keys"
    assert told["rounds"] >= 600_000
    assert told["kdf"] == "PBKDF2-HMAC-SHA-256"
    assert told["locked"] is False


def test_no_failure_while_sealing_or_unsealing_loses_anything(opened: Page) -> None:
    lost = run(opened, f"""await make("{CODE}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      await store.draft("{CODE}", "plan.meridian_deg", "17");
      const put = IDBObjectStore.prototype.put;
      const erased = IDBFactory.prototype.deleteDatabase;
      const decrypt = SubtleCrypto.prototype.decrypt;
      const derive = SubtleCrypto.prototype.deriveBits;
      // The failures are tried here, not the strength: one round is enough.
      SubtleCrypto.prototype.deriveBits = function (how, ...all) {{ return derive.call(this, {{ ...how, iterations: 1 }}, ...all); }};
      const failing = (at) => {{
        let calls = 0;
        const fail = () => {{ throw new DOMException("The device is full", "QuotaExceededError"); }};
        IDBObjectStore.prototype.put = function (...all) {{ calls += 1; return calls === at ? fail() : put.apply(this, all); }};
        IDBFactory.prototype.deleteDatabase = function (...all) {{ calls += 1; return calls === at ? fail() : erased.apply(this, all); }};
        SubtleCrypto.prototype.decrypt = function (...all) {{ calls += 1; return calls === at ? Promise.reject(new Error("broken")) : decrypt.apply(this, all); }};
        return () => {{ IDBObjectStore.prototype.put = put; IDBFactory.prototype.deleteDatabase = erased; SubtleCrypto.prototype.decrypt = decrypt; return calls; }};
      }};
      const lost = [];
      let failures = 0, sealed = false, at = 1;
      for (let turn = 0; turn < 60; turn += 1) {{
        const one = await openStore();
        one.channel.close();
        if (one.sealed) await one.unlock(given.secret);
        const mend = failing(at);
        const why = await refusal(one.sealed ? one.removePassphrase(given.secret) : one.setPassphrase(given.secret));
        const calls = mend();
        one.database.close();
        const after = await openStore();
        after.channel.close();
        if (after.sealed) await after.unlock(given.secret);
        const record = await after.read("{CODE}");
        const drafts = await after.drafts("{CODE}");
        const log = await after.log("{CODE}");
        if (record?.plan.target_d !== -0.5 || drafts["plan.meridian_deg"] !== "17" || log.length !== 2) lost.push([turn, at, why]);
        after.database.close();
        if (calls >= at) {{ failures += 1; at += 1; }}
        else {{ if (sealed) break; sealed = true; at = 1; }}
      }}
      return [lost, failures];""", secret=PASSPHRASE)
    assert lost[0] == []
    assert lost[1] >= 15


@pytest.fixture
def profile(browser: Browser, app_url: str, tmp_path: Path) -> Iterator[Callable[[], Page]]:
    """A phone whose profile lies in a folder, opened again and again."""
    opened: list[BrowserContext] = []

    def start() -> Page:
        context = browser.browser_type.launch_persistent_context(
            str(tmp_path / "profile"), executable_path=chromium.find(), args=list(chromium.FLAGS),
            service_workers="block", viewport={"width": 390, "height": 844})
        context.set_default_timeout(30_000)
        opened.append(context)
        page = context.pages[0]
        page.goto(app_url)
        return page

    yield start
    for context in opened:
        context.close()


TEXT, NUMBER, TYPED = "canarytext7731", 23.4567891, "23.918273"


def found(folder: Path) -> list[str]:
    """Files in which one of the canaries can be read, as text, wide text, or a number's own bytes."""
    marks = [TEXT.encode(), TEXT.encode("utf-16-le"), str(NUMBER).encode(), struct.pack("<d", NUMBER),
             TYPED.encode(), TYPED.encode("utf-16-le"), PASSPHRASE.encode(), PASSPHRASE.encode("utf-16-le")]
    return [f"{path.name}: {mark!r}" for path in sorted(folder.rglob("*")) if path.is_file()
            for mark in marks if mark in path.read_bytes()]


def test_nothing_can_be_read_on_the_disk_of_a_locked_phone(
    profile: Callable[[], Page], app_url: str, tmp_path: Path
) -> None:
    folder = tmp_path / "profile"
    page = profile()
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
    run(page, f"""await make("{CODE}");
      await store.commit("{CODE}", "lens.lens_name", given.text);
      await store.commit("{CODE}", "measurements.axial_length_mm", given.number);
      while (!(await caches.has("second-copy"))) await new Promise((go) => setTimeout(go, 10));""", text=TEXT, number=NUMBER)
    assert found(folder), "before it is sealed the canary must be found, or the search is blind"
    page.goto(f"{app_url}#/setup")
    card = page.locator("gl-passphrase-card")
    card.get_by_label("New passphrase").fill(PASSPHRASE)
    card.get_by_label("The same again").fill(PASSPHRASE)
    card.get_by_role("button", name="Set the passphrase").click()
    recovery = card.get_by_role("status", name="Recovery key").inner_text()
    assert len(recovery.split()) == 5
    run(page, f"""await store.commit("{CODE}", "lens.lens_name", given.text + " again");
      await store.append("{CODE}", "decisions", {{ outside_mm: given.number }});""", text=TEXT, number=NUMBER)
    page.goto(f"{app_url}#/eye/{CODE}/plan")
    box = page.get_by_role("textbox", name="Axial length")
    box.fill("")
    box.press_sequentially(TYPED)
    expect(box).to_have_value(TYPED)
    run(page, "await store.settled();")
    assert found(folder) == []
    run(page, "await store.lock();")
    expect(page.get_by_role("heading", name="Locked")).to_be_visible()
    expect(page.get_by_text(CODE)).to_have_count(0)
    page.context.close()
    assert found(folder) == []

    page = profile()
    expect(page.get_by_role("heading", name="Locked")).to_be_visible()
    page.get_by_label("Passphrase").fill("not the passphrase")
    page.get_by_role("button", name="Open").click()
    expect(page.get_by_text("This is not the passphrase. The records are whole")).to_be_visible()
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Open").click()
    expect(page.get_by_role("textbox", name="Axial length")).to_have_value(TYPED)
    assert run(page, f'return (await store.read("{CODE}")).lens.lens_name;') == f"{TEXT} again"
    page.context.close()
    assert found(folder) == []


def test_it_locks_by_itself_but_never_in_theatre(opened: Page, app_url: str) -> None:
    run(opened, f'await make("{CODE}"); await store.setPassphrase(given.secret);', secret=PASSPHRASE)
    looks = run(opened, """const { IdleLock } = await from("store/idle.js");
      let theatre = true;
      const idle = new IdleLock(store, () => theatre);
      idle.minutes = 0;
      await idle.look();
      const inTheatre = store.locked;
      theatre = false;
      await idle.look();
      return [inTheatre, store.locked];""")
    assert looks == [False, True]
    expect(opened.get_by_role("heading", name="Locked")).to_be_visible()
    run(opened, "await store.unlock(given.secret);", secret=PASSPHRASE)
    opened.goto(f"{app_url}#/eye/{CODE}/theatre")
    expect(opened.locator("gl-theatre-view")).to_be_attached()
    other = opened.context.new_page()
    other.goto(app_url)
    run(other, "await store.unlock(given.secret); await store.lock();", secret=PASSPHRASE)
    expect(other.get_by_role("heading", name="Locked")).to_be_visible()
    assert run(opened, "return store.locked;") is False
