"""Makes the invented logs in files/ with what is expected of each, from truth known here and not from our reader.

Run by hand when a case is added: python make-files.py (needs openpyxl and xlwt). Every log plays in an invented
scenario. Factors to SI are written out here once more, so that they check those of the package (NIST SP 811; see
tests/units).
"""

import gzip
import io
import json
import pathlib
import random

FOLDER = pathlib.Path(__file__).parent / "files"
FOLDER.mkdir(exist_ok=True)
for old in FOLDER.iterdir():
    old.unlink()

PA = {
    "Pa": 1, "hPa": 100, "kPa": 1000, "mbar": 100, "bar": 1e5, "Torr": 101325 / 760, "mTorr": 101.325 / 760,
    "um Hg": 0.133322387415, "mmHg": 133.322387415, "inHg": 3386.388640341, "inH2O": 249.08891, "cmH2O": 98.0665,
    "psia": 6894.757293168361, "atm": 101325, "at": 98066.5, "ubar": 0.1, "mPa": 1e-3,
}
FALL = [1013.2, 640.0, 121.5, 14.25, 1.75, 0.385, 0.0625, 0.0113]
RISE = [0.0113, 0.0131, 0.0152, 0.0168, 0.0189, 0.0207, 0.0226, 0.0245]


def si(values, unit):
    return [None if v is None else v * PA[unit] for v in values]


def pressure(values, unit, **more):
    return {"quantity": "pressure", "unit": unit, "siUnit": "Pa", "values": si(values, unit), **more}


def case(name, content, says, **expected):
    """Writes a file and what is expected of it; `content` is text, bytes, or a dict of continuing files."""
    if isinstance(content, dict):
        for part, text in content.items():
            (FOLDER / part).write_bytes(text if isinstance(text, bytes) else text.encode())
        expected["files"] = list(content)
        base = name
    else:
        (FOLDER / name).write_bytes(content if isinstance(content, bytes) else content.encode())
        base = name.rsplit(".", 1)[0]
    path = FOLDER / f"{base}.expected.json"
    assert not path.exists(), base
    path.write_text(json.dumps({"says": says, **expected}, indent=1, ensure_ascii=False) + "\n")


def table(header, rows, separator=",", end="\n"):
    lines = ([header] if header else []) + [separator.join(str(c) for c in row) for row in rows]
    return end.join(lines) + end


T = [0, 1, 2, 3, 4, 5, 6, 7]
PLAIN = table("Time (s),Pressure (mbar)", zip(T, FALL))
P_MBAR = {"Pressure (mbar)": pressure(FALL, "mbar", unitFrom="header")}

# ---- bytes: encodings, line ends, compression -------------------------------------------------------------------
case("plain-utf8.csv", PLAIN, "UTF-8, LF, comma", rows=8, time=T, channels=P_MBAR, encoding="utf-8", time_format="seconds")
case("utf8-bom.csv", b"\xef\xbb\xbf" + PLAIN.encode(), "UTF-8 with a byte order mark", time=T, channels=P_MBAR)
case("utf16le-bom.txt", b"\xff\xfe" + PLAIN.replace(",", "\t").encode("utf-16le"), "UTF-16 LE with BOM, tabs",
     time=T, channels=P_MBAR, encoding="utf-16le")
case("utf16be-bom.txt", b"\xfe\xff" + PLAIN.encode("utf-16be"), "UTF-16 BE with BOM", time=T, channels=P_MBAR,
     encoding="utf-16be")
case("utf16le-no-bom.txt", PLAIN.encode("utf-16le"), "UTF-16 LE without BOM", time=T, channels=P_MBAR, encoding="utf-16le")
case("latin1-degree.csv", table("Zeit (s);Druck (Pa);Temp (°C);Größe", zip(T, [100, 90, 80, 70, 60, 50, 40, 30],
     [20, 21, 22, 23, 24, 25, 26, 27], ["heiß"] * 8), ";").encode("latin-1"),
     "Latin-1 with a degree sign and umlauts", encoding="latin1", time=T, channels={
         "Druck (Pa)": pressure([100, 90, 80, 70, 60, 50, 40, 30], "Pa"),
         "Temp (°C)": {"quantity": "temperature", "unit": "degC", "siUnit": "K",
                       "values": [273.15 + t for t in range(20, 28)]},
         "Größe": {"quantity": "text", "texts": ["heiß"] * 8}})
case("latin1-micro.txt", table("t [s]\tp [µbar]", zip(T, FALL), "\t").encode("latin-1"), "Latin-1 micro sign in the unit",
     channels={"p [µbar]": pressure(FALL, "ubar")}, time=T)
case("crlf.csv", PLAIN.replace("\n", "\r\n"), "CRLF", time=T, channels=P_MBAR)
case("cr-only.csv", PLAIN.replace("\n", "\r"), "CR alone", time=T, channels=P_MBAR)
case("mixed-line-ends.csv", PLAIN.replace("\n", "\r\n", 4).replace("14.25\n", "14.25\r"), "CRLF, CR and LF mixed",
     time=T, channels=P_MBAR)
case("gzip.csv.gz", gzip.compress(PLAIN.encode(), mtime=0), "gzip", time=T, channels=P_MBAR, compression="gzip")
half = len(PLAIN) // 2
case("gzip-two-members.csv.gz", gzip.compress(PLAIN[:half].encode(), mtime=0) + gzip.compress(PLAIN[half:].encode(), mtime=0),
     "gzip of two members, as appended by a rotating logger", time=T, channels=P_MBAR)
case("nul-block.csv", PLAIN.encode() + b"\0" * 300 + b"8,0.0101\n9,0.0100\n", "a block of NUL bytes from a crash",
     time=T + [8, 9], channels={"Pressure (mbar)": pressure(FALL + [0.0101, 0.0100], "mbar")})
case("no-newline-at-end.csv", PLAIN.rstrip("\n"), "no line end after the last row", time=T, channels=P_MBAR)

# ---- separators and decimal marks ------------------------------------------------------------------------------
comma = lambda v: str(v).replace(".", ",")
case("semicolon-decimal-comma.csv", table("Zeit [s];Druck [mbar]", ((comma(t + 0.5), comma(p)) for t, p in zip(T, FALL)), ";"),
     "semicolons and decimal commas", time=T, channels={"Druck [mbar]": pressure(FALL, "mbar")})
case("tab-decimal-comma.txt", table("t/s\tp/mbar", ((comma(t), comma(p)) for t, p in zip(T, FALL)), "\t"),
     "tabs and decimal commas", time=T, channels={"p/mbar": pressure(FALL, "mbar")})
case("pipe.txt", table("Time (s) | Pressure (Torr)", zip(T, FALL), " | "), "pipes with blanks around", time=T,
     channels={"Pressure (Torr)": pressure(FALL, "Torr")})
case("spaces.txt", "  Time (s)   Pressure (mbar)\n" + "".join(f"{t:8d}{p:16.4f}\n" for t, p in zip(T, FALL)),
     "columns by runs of blanks, names with blanks in them", time=T, channels=P_MBAR)
case("spaces-date-and-time.dat", "Time                  P1(mbar)    P2(mbar)\n"
     + "".join(f"2024-03-05 10:00:{t:02d}   {p:10.3e}  {2 * p:10.3e}\n" for t, p in zip(T, RISE)),
     "blanks, one name over date and time", start="2024-03-05T10:00:00", time=T,
     channels={"P1(mbar)": pressure(RISE, "mbar"), "P2(mbar)": pressure([2 * p for p in RISE], "mbar")})
case("quoted-comma-decimals.csv", table('"Time (s)","Pressure (mbar)"', ((f'"{t},0"', f'"{comma(p)}"') for t, p in zip(T, FALL))),
     "decimal commas inside quotes, commas between", time=T, channels=P_MBAR)
case("thousands-point.csv", 'Time (s);Pressure (Pa)\n0;101.325,0\n1;64.000,5\n2;1.200,25\n3;14,5\n4;1,75\n',
     "points part thousands, comma is the mark", time=[0, 1, 2, 3, 4],
     channels={"Pressure (Pa)": pressure([101325, 64000.5, 1200.25, 14.5, 1.75], "Pa")})
case("thousands-comma.csv", 'Time (s),Pressure (Pa)\n0,"101,325.0"\n1,"64,000.5"\n2,"1,200.25"\n3,14.5\n4,1.75\n',
     "commas part thousands inside quotes", time=[0, 1, 2, 3, 4],
     channels={"Pressure (Pa)": pressure([101325, 64000.5, 1200.25, 14.5, 1.75], "Pa")})
case("decimal-mark-open.txt", "t/s\tp/Pa\n0\t1,013\n1\t1,012\n2\t1,011\n3\t1,010\n", "1,013 could be either",
     questions=["decimal mark"])
case("decimal-mark-told.txt", "t/s\tp/Pa\n0\t1,013\n1\t1,012\n2\t1,011\n3\t1,010\n", "1,013, told that commas part thousands",
     options={"decimalMark": "."}, channels={"p/Pa": pressure([1013, 1012, 1011, 1010], "Pa")})
case("fortran-exponents.dat", " 0.0D+00  1.013D+03\n 1.0D+00  6.4D+02\n 2.0D+00  1.215D+02\n 3.0D+00  1.425D+01\n",
     "D exponents, no header", options={"unit": "mbar", "timeUnit": "s"}, time=[0, 1, 2, 3],
     channels={"column 2": pressure([1013, 640, 121.5, 14.25], "mbar", unitFrom="user")})
case("many-digits.csv", table("Time (s),Pressure (Pa)", zip(T, ["101325.00000000000001", "0.000000000000123456789012345678",
     "1e-300", "12345678901234567890", "+5.", ".5", "7E0", "-0.25"])), "numbers of many digits and odd forms", time=T,
     channels={"Pressure (Pa)": {"quantity": "pressure",
                                 "values": [101325.00000000000001, 0.000000000000123456789012345678, 1e-300,
                                            12345678901234567890, 5, 0.5, 7, -0.25]}})
case("powers-of-ten.csv", table("Time (s),Pressure (mbar)", zip(T, ["1.0x10^3", "6.4*10^2", "1.2×10²", "1.4·10^1", "1.7x10^0",
     "3.8x10^-1", "6.2×10⁻²", "1.1x10^-2"])), "powers of ten written out", time=T,
     channels={"Pressure (mbar)": pressure([1000, 640, 120, 14, 1.7, 0.38, 0.062, 0.011], "mbar")})
case("minus-signs.csv", table("Time (s),Pressure (Torr)", zip(T, ["0.0021", "−0.0003", "0.0008", "−0.0001", "0.0004",
     "–0.0002", "0.0006", "0.0001"])), "typographic minus signs on a linear gauge about its zero", time=T,
     channels={"Pressure (Torr)": pressure([0.0021, -0.0003, 0.0008, -0.0001, 0.0004, -0.0002, 0.0006, 0.0001], "Torr",
                                           flags={})})

# ---- header, preamble, comments, ragged rows --------------------------------------------------------------------
case("preamble.csv", "Recording name,Date,Operator\nRun 12,2024-03-05 09-59-58,night shift\n\n" + PLAIN,
     "three lines before the header", time=T, channels=P_MBAR)
case("preamble-key-values.txt", "Station: 4\nSample interval: 1.0\nChannels: 2\nGain,10\n" + PLAIN,
     "key and value lines, two of them with numbers", time=T, channels=P_MBAR)
case("hash-comments.csv", "# invented furnace, chamber B\n# time in s\n" + PLAIN, "comment lines first", time=T, channels=P_MBAR)
case("commented-header.dat", "# run 7\n# t[s] p[Pa]\n" + table("", zip(T, FALL), " "), "header in a comment, blanks",
     time=T, channels={"p[Pa]": pressure(FALL, "Pa")})
body = PLAIN.splitlines()
case("comments-among-data.csv", "\n".join(body[:4] + ["# valve V1 closed by hand"] + body[4:]) + "\n",
     "a comment among the rows is a remark", time=T, channels=P_MBAR, remarks=[[3, "valve V1 closed by hand"]],
     leftOut={"comment lines": 1})
case("units-line.csv", table("Time,P chamber,T wall", [("s", "mbar", "°C")] + list(zip(T, FALL, range(20, 28)))),
     "units in a second header line", time=T, time_format="seconds",
     channels={"P chamber": pressure(FALL, "mbar", unitFrom="units line"),
               "T wall": {"quantity": "temperature", "unit": "degC", "values": [273.15 + t for t in range(20, 28)]}})
case("units-line-brackets.txt", table("Time\tVac1\tVac2", [("[min]", "[Pa]", "[mTorr]")] + list(zip(T, FALL, RISE)), "\t"),
     "bracketed units line, minutes", time=[60 * t for t in T],
     channels={"Vac1": pressure(FALL, "Pa"), "Vac2": pressure(RISE, "mTorr")})
case("ruler-under-header.txt", "time_s  p_mbar\n------  ------\n" + table("", zip(T, FALL), "  "), "a ruler under the header",
     time=T, channels={"p_mbar": pressure(FALL, "mbar")})
case("no-header.csv", table("", zip([1709632800 + t for t in T], FALL)), "no header, epoch seconds, unit told",
     options={"unit": "mbar"}, start="2024-03-05T10:00:00Z", time=T, time_format="epoch s",
     channels={"column 2": pressure(FALL, "mbar", unitFrom="user")})
case("no-header-no-unit.csv", table("", zip([1709632800 + t for t in T], RISE)), "no header, nothing says the unit",
     questions=["unit"], channels={"column 2": {"quantity": "number", "unit": "", "siUnit": "", "values": RISE}})
case("repeated-header.csv", "\n".join(body[:5] + [body[0]] + body[5:]) + "\n", "the header comes again", time=T,
     channels=P_MBAR, leftOut={"repeated headers": 1})
case("repeated-preamble.csv", "Logger started\n\n" + "\n".join(body[:5]) + "\nLogger started\n\n" + "\n".join([body[0]] + body[5:])
     + "\n", "preamble and header come again", time=T, channels=P_MBAR)
case("ragged-rows.csv", "Time (s),Pressure (mbar),Note\n0,1013.2\n1,640.0,,\n2,121.5,pump on\n3,14.25\n4\n5,0.385,x,y\n6,0.0625\n7,0.0113\n",
     "rows of different lengths", time=T, channels={"Pressure (mbar)": pressure(
         [1013.2, 640.0, 121.5, 14.25, None, 0.385, 0.0625, 0.0113], "mbar", flags={"missing": 1})})
case("trailing-separator.csv", "\n".join(line + "," for line in body) + "\n", "a separator at the end of each line", time=T,
     channels=P_MBAR)
case("blank-lines.csv", "\n\n".join(body) + "\n\n\n", "blank lines between all rows", time=T, channels=P_MBAR,
     leftOut={"blank lines": 9})
case("cut-last-line.csv", PLAIN + "8,0.0", "the last line may be cut inside a number, which cannot be told; it stays",
     rows=9)
case("cut-last-row.csv", table("Time (s),A (mbar),B (mbar)", zip(T, FALL, RISE)) + "8,0.01", "the last row lacks a column",
     rows=8, time=T, leftOut={"last line, cut short": 1})
case("footer.csv", PLAIN + "End of recording\n", "a closing line of words", time=T, channels=P_MBAR)
case("text-columns.csv", table("Time (s),Gas,Pressure (Torr),Operator,Recipe step",
     zip(T, ["20%O2 /Ar", "N2"] * 4, FALL, ["night, B", "night"] * 4, ["a b"] * 8)).replace("night, B", '"night, B"'),
     "text among the numbers, with commas and signs in it", time=T,
     channels={"Pressure (Torr)": pressure(FALL, "Torr"), "Gas": {"quantity": "text", "texts": ["20%O2 /Ar", "N2"] * 4},
               "Operator": {"quantity": "text", "texts": ["night, B", "night"] * 4}})
case("quoted-line-break.csv", 'Time (s),Pressure (mbar),Remark\n0,1013.2,\n1,640.0,"valve stuck,\nlooked at it"\n2,121.5,\n3,14.25,"5"" pipe hot"\n',
     "a remark with a line break and doubled quotes", time=[0, 1, 2, 3], channels={"Pressure (mbar)": pressure(FALL[:4], "mbar")},
     remarks=[[1, "valve stuck, looked at it"], [3, '5" pipe hot']])
case("lone-quote.csv", 'Time (s),Line,Pressure (mbar)\n0,5" pipe,1013.2\n1,"2 inch,640\n2,4" pipe,121.5\n', "quotes that are inches",
     time=[0, 1, 2], channels={"Pressure (mbar)": pressure([1013.2, 640, 121.5], "mbar")})
case("duplicate-names.csv", table("Time (s),P (mbar),P (mbar)", zip(T, FALL, RISE)), "two columns of one name", time=T,
     channels={"P (mbar)": pressure(FALL, "mbar"), "P (mbar) (2)": pressure(RISE, "mbar")})
case("index-column.csv", table("No.,Time (s),Pressure (mbar)", zip(range(1, 9), [t * 2 for t in T], FALL)),
     "a row number in front", time=[2 * t for t in T], names=["Pressure (mbar)"])
case("several-gauges.csv", table("Time (s),Pirani (mbar),Ion gauge [Torr],CM 1 / Pa,Foreline kPa,T1 (K),MFC (sccm),V1 open",
     zip(T, FALL, RISE, FALL, RISE, range(300, 308), range(8), [0, 1] * 4)), "gauges in four units, temperature, flow, valve",
     time=T, channels={
         "Pirani (mbar)": pressure(FALL, "mbar"), "Ion gauge [Torr]": pressure(RISE, "Torr"),
         "CM 1 / Pa": pressure(FALL, "Pa"), "Foreline kPa": pressure(RISE, "kPa"),
         "T1 (K)": {"quantity": "temperature", "siUnit": "K", "values": list(range(300, 308))},
         "MFC (sccm)": {"quantity": "flow", "siUnit": "mol/s",
                        "values": [f * 101325 * 1e-6 / 60 / (8.31446261815324 * 273.15) for f in range(8)]},
         "V1 open": {"quantity": "position", "values": [0, 1] * 4}})
case("valve-words.csv", table("Time (s),Pressure (Pa),Gate valve,Pump", zip(T, FALL, ["open"] * 4 + ["closed"] * 4,
     ["ON", "ON", "OFF", "OFF"] * 2)), "valve states in words", time=T,
     channels={"Gate valve": {"quantity": "position", "values": [1, 1, 1, 1, 0, 0, 0, 0]},
               "Pump": {"quantity": "position", "values": [1, 1, 0, 0] * 2}})
case("flow-throughput.csv", table("Time (s),Pressure (Pa),Leak (mbar l/s),Bleed (slm)", zip(T, FALL, RISE, range(8))),
     "flows as throughput and in slm", time=T,
     channels={"Leak (mbar l/s)": {"quantity": "flow", "siUnit": "Pa m3/s", "values": [0.1 * q for q in RISE]},
               "Bleed (slm)": {"quantity": "flow", "siUnit": "mol/s",
                               "values": [f * 101325 * 1e-3 / 60 / (8.31446261815324 * 273.15) for f in range(8)]}})
case("fahrenheit.csv", table("Time (s),Pressure (Pa),Wall temp (degF)", zip(T, FALL, [32, 50, 68, 86, 104, 122, 140, 158])),
     "degrees Fahrenheit", channels={"Wall temp (degF)": {"quantity": "temperature", "unit": "degF", "siUnit": "K",
                                     "values": [273.15, 283.15, 293.15, 303.15, 313.15, 323.15, 333.15, 343.15]}})

# ---- time -------------------------------------------------------------------------------------------------------
def timed(stamps, header="Time", values=FALL, unit="mbar", separator=","):
    return table(f"{header}{separator}Pressure ({unit})", zip(stamps, values), separator)


case("minutes.csv", timed([t * 0.5 for t in T], "Time (min)"), "minutes", time=[30 * t for t in T], channels=P_MBAR)
case("hours.csv", timed([t * 0.25 for t in T], "Elapsed [h]"), "hours", time=[900 * t for t in T], channels=P_MBAR)
case("milliseconds.csv", timed([t * 250 for t in T], "t_ms"), "milliseconds", time=[0.25 * t for t in T], channels=P_MBAR)
case("time-without-unit.csv", timed([t * 2 for t in range(80)], "Time", [1000 - t for t in range(80)]),
     "many rows, time without a unit: seconds, and this is said", time=[2 * t for t in range(80)],
     assumptions=["taken as seconds"])
case("time-without-unit-by-hand.csv", timed([0, 1, 2, 5, 10, 15, 20, 30]), "few rows by hand: minutes as likely as seconds",
     questions=["time unit"])
case("time-in-sixtieths.csv", timed([f"{t / 60:.6f}" for t in range(80)], "Time", [1000 - t for t in range(80)]),
     "steps of 0.016667 without a unit", questions=["time unit"])
case("elapsed-beyond-24h.csv", timed(["23:59:58", "23:59:59", "24:00:00", "24:00:01", "25:00:00", "47:59:59", "48:00:00", "100:00:00"],
     "Elapsed"), "h:mm:ss beyond 24 h", time_format="elapsed h:m:s", start=None,
     time=[0, 1, 2, 3, 3602, 86401, 86402, 273602])
case("elapsed-days.csv", timed(["0 days 23:59:59", "1 day 00:00:00", "1 day 00:00:01", "2 days 12:00:00"], values=FALL[:4]),
     "days in front of the time", time=[0, 1, 2, 129601])
case("minutes-and-seconds.csv", timed(["00:00.0", "00:30.5", "01:00.0", "59:59.9", "60:00.0", "75:10.2", "99:00.0", "120:00.0"]),
     "m:ss with fractions", time_format="elapsed m:s", time=[0, 30.5, 60, 3599.9, 3600, 4510.2, 5940, 7200])
case("two-fields-open.csv", timed(["0:00", "0:30", "1:00", "1:30", "2:00", "2:30", "3:00", "3:30"]),
     "0:30 is half a minute or half an hour", questions=["time unit"])
case("two-fields-told.csv", timed(["0:00", "0:30", "1:00", "1:30", "2:00", "2:30", "3:00", "3:30"]),
     "0:30, told to be hours and minutes", options={"timeUnit": "h:m"}, time=[1800 * t for t in T])
case("midnight.csv", timed(["23:59:57", "23:59:58", "23:59:59", "00:00:00", "00:00:01", "00:00:02", "00:00:03", "00:00:04"]),
     "time of day over midnight", time_format="time of day", start=None, time=T, notes=["midnight"])
case("three-midnights.csv", timed(["18:00:00", "23:00:00", "04:00:00", "20:00:00", "02:00:00", "10:00:00", "22:00:00", "03:00:00"]),
     "time of day over three midnights", time=[3600 * h for h in [0, 5, 10, 26, 32, 40, 52, 57]],
     notes=["midnight", "midnight", "midnight"])
case("am-pm-no-date.csv", timed(["11:59:58 AM", "11:59:59 AM", "12:00:00 PM", "12:00:01 PM", "1:00:00 PM", "11:59:59 PM",
     "12:00:00 AM", "12:00:01 AM"]), "AM and PM over noon and midnight", time=[0, 1, 2, 3, 3602, 43201, 43202, 43203],
     notes=["gap", "gap", "midnight"])
case("clock-of-12-hours.csv", timed(["11:59:58", "11:59:59", "12:00:00", "12:30:00", "12:59:59", "01:00:00", "01:00:01", "01:30:00"]),
     "a 12-hour clock that does not say AM or PM", time=[0, 1, 2, 1802, 3601, 3602, 3603, 5402])
case("iso.csv", timed([f"2024-02-28T23:59:{55 + t:02d}" if t < 5 else f"2024-02-29T00:00:{t - 5:02d}" for t in T]),
     "ISO 8601 over the end of a day in a leap year", start="2024-02-28T23:59:55", time=T, time_format="iso")
case("iso-zones.csv", timed(["2024-03-05T10:00:00+01:00", "2024-03-05T10:00:01+01:00", "2024-03-05T09:00:02Z",
     "2024-03-05T11:00:03.5+02:00"], values=FALL[:4]), "ISO 8601 with zones that change", start="2024-03-05T09:00:00Z",
     time=[0, 1, 2, 3.5])
case("iso-fractions.csv", timed([f"2024-03-05 10:00:00.{125 * t:03d}" for t in T]), "fractions of a second",
     start="2024-03-05T10:00:00", time=[0.125 * t for t in T])
case("iso-comma-fractions.csv", timed([f"2024-03-05 10:00:00,{125 * t:03d}" for t in T], separator=";"),
     "a comma before the fraction", time=[0.125 * t for t in T])
case("compact-iso.csv", timed([f"20240305T1000{t:02d}Z" for t in T]), "ISO 8601 without marks", start="2024-03-05T10:00:00Z", time=T)
case("epoch-ms.csv", timed([1709632800250 + 500 * t for t in T], "ts"), "epoch in milliseconds", start="2024-03-05T10:00:00.250Z",
     time=[0.5 * t for t in T], time_format="epoch ms")
case("epoch-s-fraction.csv", timed([f"{1709632800.5 + 0.1 * t:.1f}" for t in T], "timestamp"), "epoch with fractions",
     start="2024-03-05T10:00:00.500Z", time=[0.1 * t for t in T], time_format="epoch s")
case("epoch-1904.csv", timed([f"{2082844800 + 1709632800 + t}" for t in T], "Time"), "seconds since 1904",
     start="2024-03-05T10:00:00Z", time=T, time_format="epoch 1904 s")
case("spreadsheet-days.csv", timed([f"{45356 + (36000 + t) / 86400:.11f}" for t in T], "Date"), "days of a spreadsheet",
     start="2024-03-05T10:00:00", time=T, time_format="spreadsheet days")
case("day-month-by-13.csv", timed(["12/03/2024 23:59:59", "13/03/2024 00:00:00", "13/03/2024 00:00:01", "13/03/2024 00:00:02"],
     values=FALL[:4]), "day first, told by a 13 in the middle of the column", start="2024-03-12T23:59:59", time=[0, 1, 2, 3],
     time_format="day-month-year")
case("month-day-by-13.csv", timed(["03/12/2024 23:59:59", "03/13/2024 00:00:00", "03/13/2024 00:00:01", "03/13/2024 00:00:02"],
     values=FALL[:4]), "month first, told by a 13", start="2024-03-12T23:59:59", time=[0, 1, 2, 3], time_format="month-day-year")
case("day-month-by-midnight.csv", timed(["03/04/2024 23:59:58", "03/04/2024 23:59:59", "04/04/2024 00:00:00", "04/04/2024 00:00:01"],
     values=FALL[:4]), "day first, told by the step over midnight", start="2024-04-03T23:59:58", time=[0, 1, 2, 3],
     time_format="day-month-year")
case("day-month-open.csv", timed([f"03/04/2024 10:00:{t:02d}" for t in T]), "3 April or 4 March: asked", questions=["date order"],
     start=None, time=T, channels=P_MBAR)
case("day-month-told.csv", timed([f"03/04/2024 10:00:{t:02d}" for t in T]), "3 April or 4 March: told", options={"dateOrder": "mdy"},
     start="2024-03-04T10:00:00", time=T)
case("chamber 2024-04-03.csv", timed([f"03/04/2024 10:00:{t:02d}" for t in T]), "3 April, told by the name of the file",
     start="2024-04-03T10:00:00", time=T)
case("dots-are-day-first.csv", timed([f"03.04.2024 10:00:{t:02d}" for t in T], separator=";"), "dates with dots are day first, and this is said",
     start="2024-04-03T10:00:00", time=T, assumptions=["as dates with dots are"])
case("two-digit-years.csv", timed(["28/02/24 23:59:59", "29/02/24 00:00:00", "29/02/24 00:00:01"], values=FALL[:3]),
     "years of two digits", questions=[], start="2024-02-28T23:59:59", time=[0, 1, 2])
case("month-names.csv", timed(["30-Apr-2024 23:59:59", "01-May-2024 00:00:00", "01-May-2024 00:00:01"], values=FALL[:3]),
     "English month names", start="2024-04-30T23:59:59", time=[0, 1, 2])
case("month-names-us.csv", timed(["Apr-30-2024 11:59:59.5 PM", "May-01-2024 12:00:00.5 AM", "May-01-2024 12:00:01.5 AM"], values=FALL[:3]),
     "month name first, AM and PM, fractions", start="2024-04-30T23:59:59.500", time=[0, 1, 2])
case("month-names-german.csv", timed(["31. Dez. 2023 23:59:59", "1. Jän. 2024 00:00:00", "1. Mai 2024 00:00:00"], values=FALL[:3], separator=";"),
     "German month names", start="2023-12-31T23:59:59", time=[0, 1, 10454401])
case("month-names-french.csv", timed(["29 févr. 2024 23:59:59", "1 mars 2024 00:00:00", "1 août 2024 00:00:00"], values=FALL[:3], separator=";"),
     "French month names", start="2024-02-29T23:59:59", time=[0, 1, 13219201])
case("weekday-first.txt", timed(["Tue Mar  5 10:00:00 2024", "Tue Mar  5 10:00:01 2024", "Wed Mar  6 10:00:01 2024"], values=FALL[:3], separator="\t"),
     "the weekday first, the year last", start="2024-03-05T10:00:00", time=[0, 1, 86401])
case("date-and-time-columns.csv", table("Date,Time,Pressure (mbar)", [("2024-03-05", "23:59:59", 1.5), ("2024-03-06", "00:00:00", 1.4),
     ("2024-03-06", "00:00:01", 1.3)]), "date and time in two columns", start="2024-03-05T23:59:59", time=[0, 1, 2],
     channels={"Pressure (mbar)": pressure([1.5, 1.4, 1.3], "mbar")})
case("time-then-date-columns.csv", table("Uhrzeit;Datum;Druck (hPa)", [("23:59:59", "13.03.2024", "1,5"), ("00:00:00", "14.03.2024", "1,4"),
     ("00:00:01", "14.03.2024", "1,3")], ";"), "time before date", start="2024-03-13T23:59:59", time=[0, 1, 2],
     channels={"Druck (hPa)": {"quantity": "pressure", "values": [150, 140, 130]}})
case("half-day-column.csv", table("Date,Time,,Pressure (mbar)", [("03/15/2024", "11:59:59", "AM", 1.5), ("03/15/2024", "12:00:00", "PM", 1.4),
     ("03/15/2024", "01:00:00", "PM", 1.3)]), "AM and PM in a column of their own", start="2024-03-15T11:59:59", time=[0, 1, 3601])
case("irregular-steps.csv", timed([0, 0.1, 0.5, 3, 3.2, 10, 11, 40], "Time (s)"), "steps of all sizes", time=[0, 0.1, 0.5, 3, 3.2, 10, 11, 40])
case("equal-stamps.csv", timed([0, 1, 2, 2, 3, 4, 5, 6], "Time (s)"), "one stamp twice", time=[0, 1, 2, 2, 3, 4, 5, 6], notes=["equal stamps"])
case("coarse-stamps.csv", timed([f"10:00:{t // 4:02d}" for t in range(40)], "Time", [1000 - t for t in range(40)]),
     "four rows in each second", time=[0.25 * t for t in range(40)], assumptions=["stamps are coarser than the rows"])
case("late-row.csv", timed([0, 1, 2, 4, 3, 5, 6, 7], "Time (s)"), "a row that came late is moved to its place", time=T,
     notes=["step back"], channels={"Pressure (mbar)": pressure([1013.2, 640.0, 121.5, 1.75, 14.25, 0.385, 0.0625, 0.0113], "mbar")})
case("clock-set-back.csv", timed(["2024-03-05 10:00:00", "2024-03-05 10:00:01", "2024-03-05 10:00:02", "2024-03-05 10:00:03",
     "2024-03-05 09:59:40", "2024-03-05 09:59:41", "2024-03-05 09:59:42", "2024-03-05 09:59:43"]), "a clock set back by 23 s",
     time=T, notes=["step back"], assumptions=["set back"], channels=P_MBAR)
case("gap.csv", timed([0, 1, 2, 3, 64, 65, 66, 67], "Time (s)"), "a gap of a minute", time=[0, 1, 2, 3, 64, 65, 66, 67], notes=["gap"])
case("clock-change-autumn.csv", timed([f"2024-10-27 02:{m:02d}:00" for m in (40, 50)] + [f"2024-10-27 02:{m:02d}:00" for m in (0, 10, 20)]
     + ["2024-10-27 02:30:00"], values=FALL[:6]), "the clock goes back one hour", time=[0, 600, 1200, 1800, 2400, 3000],
     notes=["clock change"], assumptions=["goes back one hour"])
case("clock-change-spring.csv", timed([f"2024-03-31 01:{m:02d}:00" for m in (30, 40, 50)] + [f"2024-03-31 03:{m:02d}:00" for m in (0, 10, 20)],
     values=FALL[:6]), "the clock leaps one hour on a Sunday", time=[0, 600, 1200, 1800, 2400, 3000], notes=["clock change"],
     assumptions=["leaps one hour"])
case("restart.csv", timed([0, 1, 2, 3, 0, 1, 2, 3], "Time (s)"), "time starts again in one file", time=T, channels=P_MBAR,
     notes=["restart"], assumptions=["starts again"])
case("newest-first.csv", timed([f"2024-03-05 10:00:{7 - t:02d}" for t in T], values=FALL[::-1]), "newest row first", time=T,
     start="2024-03-05T10:00:00", channels=P_MBAR, notes=["step back"])
case("rows-without-time.csv", table("Pressure (mbar)", ([p] for p in FALL)), "no time at all: asked", questions=["time unit"], channels=P_MBAR)
case("rows-with-step-told.csv", table("Pressure (mbar)", ([p] for p in FALL)), "no time, two seconds a row told", options={"stepS": 2},
     time=[2 * t for t in T], channels=P_MBAR)
case("finer-elapsed-column.csv", table("Stamp,Elapsed (s),Pressure (mbar)",
     ((f"2024-03-05 10:00:{t // 4:02d}", 0.25 * t, 1000 - t) for t in range(24))), "coarse stamps beside a finer elapsed time",
     start="2024-03-05T10:00:00", time=[0.25 * t for t in range(24)])

# ---- units of pressure ------------------------------------------------------------------------------------------
SPELLINGS = [
    ("unit-pascal", "Pressure (Pascal)", "Pa"), ("unit-hpa", "p [hPa]", "hPa"), ("unit-kpa", "Druck in kPa", "kPa"),
    ("unit-bar", "P1_bar", "bar"), ("unit-mbar-glued", "PressureMbar", "mbar"), ("unit-torr-slash", "p / Torr", "Torr"),
    ("unit-mtorr", "Chamber Pressure - mTorr", "mTorr"), ("unit-mtorr-capitals", "CHAMBER PRESSURE (MTORR)", "mTorr"),
    ("unit-microns", "Vacuum (microns)", "um Hg"), ("unit-mmhg", "Pressure (mm Hg)", "mmHg"),
    ("unit-inhg-abs", "Pressure (inHg abs)", "inHg"), ("unit-inh2o", "dP (in H2O)", "inH2O"), ("unit-cmh2o", "Pressure [cmH2O]", "cmH2O"),
    ("unit-psia", "Pressure (psia)", "psia"), ("unit-atm", "Pressure, atm", "atm"), ("unit-at", "Pressure (at)", "at"),
    ("unit-alone", "mbar", "mbar"), ("unit-scaled", "Pressure (1e-3 mbar)", None),
]
for name, header, unit in SPELLINGS:
    values = [p / 1000 for p in FALL] if unit in ("bar", "atm", "at") else FALL
    wanted = (pressure(values, unit) if unit else
              {"quantity": "pressure", "siUnit": "Pa", "values": [0.1 * p for p in FALL]})
    if unit == "hPa":
        wanted.pop("unit")
    case(f"{name}.csv", table(f'Time (s),"{header}"', zip(T, values)), f"the header {header}", channels={header: wanted}, time=T)
case("unit-in-cells.csv", table("Time (s),Gauge", zip(T, [f"{p} mbar" for p in FALL])), "the unit behind each number", time=T,
     channels={"Gauge": pressure(FALL, "mbar", unitFrom="cells")})
case("unit-changes-in-cells.csv", table("Time (s),Gauge", zip(T, ["760 Torr", "12 Torr", "1.5 Torr", "950 mTorr", "320 mTorr", "41 mTorr",
     "8 mTorr", "1.1 Torr"])), "a display that changes its range", time=T, channels={"Gauge": {"quantity": "pressure", "unitFrom": "cells",
     "values": [101325, 12 * PA["Torr"], 1.5 * PA["Torr"], 950 * PA["mTorr"], 320 * PA["mTorr"], 41 * PA["mTorr"], 8 * PA["mTorr"],
                1.1 * PA["Torr"]]}})
case("unit-in-preamble.csv", "Pressure unit: Torr\n" + table("Time (s),Pressure", zip(T, RISE)), "the unit in a line above the table", time=T,
     channels={"Pressure": pressure(RISE, "Torr", unitFrom="units line")})
case("unit-told.csv", table("Time (s),Gauge A,Gauge B (Pa)", zip(T, RISE, FALL)), "the unit told, another gauge names its own",
     options={"unit": "Torr"}, channels={"Gauge A": pressure(RISE, "Torr", unitFrom="user"), "Gauge B (Pa)": pressure(FALL, "Pa")},
     assumptions=["stays in Pa"])
case("unit-told-over-header.csv", table("Time (s),Pressure (Pa)", zip(T, RISE)), "a person says mbar of the channel named, the header Pa",
     options={"unit": "mbar", "channels": ["Pressure"]}, channels={"Pressure (Pa)": pressure(RISE, "mbar", unitFrom="user")})
air = [759.31, 759.38, 759.42, 759.35, 759.33, 759.40, 759.36, 759.34]
down = [600.0, 300.2, 90.1, 22.4, 5.21, 1.02, 0.31, 0.12]
case("unit-from-atmosphere.csv", table("Time (s),Chamber pressure", zip(range(16), air + down)), "no unit, but a live stretch at one atmosphere",
     channels={"Chamber pressure": pressure(air + down, "Torr", unitFrom="assumed")}, assumptions=["taken as Torr"])
case("unit-not-from-clamp.csv", table("Time (s),Chamber pressure", zip(range(16), [1000.0] * 8 + down)), "no unit, and a full scale of 1000 is no atmosphere",
     questions=["unit"], channels={"Chamber pressure": {"quantity": "number", "seems": "pressure", "values": [1000.0] * 8 + down}})
bars = [1.0131, 1.0133, 1.0132, 1.0134, 1.0130, 1.0133, 1.0131, 1.0132]
case("unit-bar-or-atm.csv", table("Time (s),Chamber pressure", zip(range(16), bars + [p / 1000 for p in down])), "bar and atm both make sense: asked",
     questions=["unit"])
case("unit-missing.csv", table("Time (s),Chamber pressure", zip(T, RISE)), "no unit and no atmosphere: asked", questions=["unit"],
     channels={"Chamber pressure": {"quantity": "number", "siUnit": "", "unit": "", "seems": "pressure", "values": RISE}})
case("psi-open.csv", table("Time (s),Pressure (psi)", zip(T, [9.1, 8.2, 7.4, 6.6, 5.9, 5.3, 4.8, 4.3])), "psi could be absolute or not: asked",
     questions=["unit"])
gauge = [0.0, -4.2, -9.6, -13.1, -14.2, -14.5, -14.6, -14.6]
case("psi-below-zero.csv", table("Time (s),Pressure (psi)", zip(T, gauge)), "psi below zero is relative to atmosphere", options={"barometerPa": 101325},
     channels={"Pressure (psi)": {"quantity": "pressure", "unit": "psig", "values": [101325 + p * PA["psia"] for p in gauge]}})
case("psig-no-barometer.csv", table("Time (s),Pressure (psig)", zip(T, gauge)), "relative to atmosphere, no barometer: asked", questions=["barometer"],
     channels={"Pressure (psig)": {"quantity": "number", "values": gauge}})
dial = [0.0, 12.5, 22.0, 26.4, 28.0, 28.6, 28.9, 29.0]
case("inhg-vacuum.csv", table("Time (s),Vacuum (inHg)", zip(T, dial)), "a dial below atmosphere, barometer told", options={"barometerPa": 101325},
     channels={"Vacuum (inHg)": {"quantity": "pressure", "unit": "inHg vac", "values": [101325 - p * PA["inHg"] for p in dial]}})
case("inhg-vacuum-open.csv", table("Time (s),Vacuum (inHg)", zip(T, dial)), "a dial below atmosphere, no barometer: asked", questions=["barometer"])
baro = [1000.5, 1000.5, 1000.4, 1000.4, 1000.3, 1000.3, 1000.2, 1000.2]
case("inhg-vacuum-barometer-column.csv", table("Time (s),Vacuum [inHg vac],Barometer (mbar)", zip(T, dial, baro)), "a dial and a barometer beside it",
     channels={"Vacuum [inHg vac]": {"quantity": "pressure", "values": [100 * b - p * PA["inHg"] for p, b in zip(dial, baro)]}},
     assumptions=["taken as the barometer"])
case("dial-beyond-barometer.csv", table("Time (s),Vacuum (inHg)", zip(T, [0, 10, 20, 25, 28, 28.2, 28.5, 29.9])),
     "29.9 inHg below a barometer of 950 mbar cannot be", options={"barometerPa": 95000},
     channels={"Vacuum (inHg)": {"quantity": "pressure", "flagged": {"underRange": [5, 6, 7]}}})
case("inhg-open.csv", table("Time (s),Pressure (inHg)", zip(T, [29.9, 20.1, 9.2, 3.1, 1.0, 0.4, 0.3, 0.2])), "inHg absolute or from a dial: asked",
     questions=["unit"])
case("kpa-gauge.csv", table("Time (s),Pressure (kPa gauge)", zip(T, [0, -40.0, -80.5, -95.1, -100.0, -100.9, -101.1, -101.2])),
     "kPa relative to atmosphere", options={"barometerPa": 101400}, channels={"Pressure (kPa gauge)": {"quantity": "pressure",
     "values": [101400 + 1000 * p for p in [0, -40.0, -80.5, -95.1, -100.0, -100.9, -101.1, -101.2]]}})

negative = [0, -40.0, -80.5, -95.1, -100.0, -100.9, -101.1, -101.2]
case("kpa-below-zero.csv", table("Time (s),Pressure (kPa)", zip(T, negative)), "kPa far below zero are relative to atmosphere", options={"barometerPa": 101400},
     channels={"Pressure (kPa)": {"quantity": "pressure", "values": [101400 + 1000 * p for p in negative]}}, assumptions=["relative to atmosphere"])
case("vacuum-or-venting.csv", table("Time (s),Vacuum (kPa)", zip(T, [0, 40.0, 80.5, 95.1, 99.0, 99.9, 100.1, 100.2])),
     "a vacuum in kPa that grows: a dial, or a venting; asked", questions=["unit"])
case("per-cent-vacuum.csv", table("Time (s),Vacuum (%)", zip(T, [0, 40, 80, 95, 99, 99.5, 99.8, 99.9])), "per cent of vacuum", options={"barometerPa": 100000},
     channels={"Vacuum (%)": {"quantity": "pressure", "values": [100000, 60000, 20000, 5000, 1000, 500, 200, 100]}})

# ---- voltages ---------------------------------------------------------------------------------------------------
volts = [9.0, 8.5, 7.0, 6.0, 5.5, 5.0, 4.0, 3.0]
case("voltage-open.csv", table("Time (s),Analog 1 (V)", zip(T, volts)), "a voltage without a law: asked", questions=["voltage law"],
     channels={"Analog 1 (V)": {"quantity": "voltage", "siUnit": "V", "values": volts}})
case("voltage-log-law.csv", table("Time (s),Analog 1 (V)", zip(T, volts)), "p = 10^(U - 6) mbar",
     options={"columns": {"Analog 1 (V)": {"law": {"kind": "log", "a": 1, "b": -6, "unit": "mbar"}}}},
     channels={"Analog 1 (V)": {"quantity": "pressure", "unit": "mbar", "siUnit": "Pa", "values": [100 * 10 ** (u - 6) for u in volts]}})
case("voltage-linear-law.csv", table("Time (s),U (mV)", zip(T, [1000 * u for u in volts])), "p = 10 U Torr of a column in mV",
     options={"columns": {"U (mV)": {"law": {"kind": "linear", "a": 10, "b": 0, "unit": "Torr"}}}},
     channels={"U (mV)": {"quantity": "pressure", "unit": "Torr", "values": [10 * u * PA["Torr"] for u in volts]}})
sat = [10.0, 10.0, 10.0, 10.0, 9.2, 7.4, 5.1, 0.0, 0.0, 3.3]
case("voltage-saturated.csv", table("Time (s),Analog 1 (V)", zip(range(10), sat)), "saturated codes at 10 V and 0 V",
     options={"columns": {"Analog 1 (V)": {"law": {"kind": "log", "a": 1, "b": -6, "unit": "mbar"}}}},
     channels={"Analog 1 (V)": {"quantity": "pressure", "flagged": {"overRange": [0, 1, 2, 3], "underRange": [7, 8]}}})

# ---- readings that are none -------------------------------------------------------------------------------------
words = ["OVER", "over range", ">1000", "121.5", "14.25", "", "-", "NaN", "1.75", "UNDER", "<1e-3", "lo", "OFF", "gauge off", "n/a", "---"]
case("range-words.csv", table("Time (s),Pressure (mbar)", zip(range(16), words)), "words in place of readings",
     channels={"Pressure (mbar)": pressure([None, None, 1000, 121.5, 14.25, None, None, None, 1.75, None, 1e-3, None, None, None, None, None],
               "mbar", flagged={"overRange": [0, 1, 2], "underRange": [9, 10, 11], "missing": [5, 6, 7, 14, 15], "off": [12, 13]})})
ion = [1e-99] * 5 + [4.2e-4, 2.1e-4, 1.1e-4, 6.3e-5, 4.4e-5, 3.2e-5, 2.6e-5, 2.2e-5, 1.9e-5] + [1e-99] * 3
case("sentinel-1e-99.csv", table("Time (s),Ion gauge (Torr)", zip(range(17), ion)), "1e-99 while an ion gauge is off",
     channels={"Ion gauge (Torr)": {"quantity": "pressure", "flagged": {"off": [0, 1, 2, 3, 4, 14, 15, 16]}}})
high = [9.9e9] * 4 + [9.1e-3, 6.4e-3, 2.2e-3, 8.0e-4, 3.1e-4, 1.2e-4, 7.7e-5, 5.9e-5]
case("sentinel-9.9e9.csv", table("Time (s),Cold cathode (mbar)", zip(range(12), high)), "9.9e9 above the range",
     channels={"Cold cathode (mbar)": {"quantity": "pressure", "flagged": {"overRange": [0, 1, 2, 3]}}})
nines = [999.9] * 3 + [81.2, 44.0, 20.5, 9.1, 4.2, 2.0, 1.1, 0.7, 0.52]
case("sentinel-999.9.csv", table("Time (s),Gauge (Torr)", zip(range(12), nines)), "999.9 above the range of a gauge that ends below",
     channels={"Gauge (Torr)": {"quantity": "pressure", "flagged": {"overRange": [0, 1, 2]}}})
real = [1003.1, 1002.0, 1001.2, 1000.6, 999.9, 999.0, 998.3, 997.1, 996.0, 995.2]
case("real-999.9.csv", table("Time (s),Pressure (mbar)", zip(range(10), real)), "999.9 mbar on the way is a reading",
     channels={"Pressure (mbar)": pressure(real, "mbar", flags={})})
minus = [-999, -999, 5.1, 4.2, 3.4, 2.7, 2.2, 1.8, -999, 1.3, 1.1, 0.9]
case("sentinel-minus-999.csv", table("Time (s),Pressure (Pa)", zip(range(12), minus)), "-999 where there is no reading",
     channels={"Pressure (Pa)": {"quantity": "pressure", "flagged": {"off": [0, 1, 8]}}})
case("sentinel-temperature.csv", table("Time (s),Pressure (Pa),Wall temp (°C)", zip(T, FALL, [21.0, 21.2, 9999, 21.5, 21.6, 9999, 21.9, 22.0])),
     "9999 of a broken thermometer", channels={"Wall temp (°C)": {"quantity": "temperature", "flagged": {"missing": [2, 5]}}})
zeros = [0, 0, 0, 0, 5.2e-4, 1.1e-4, 4.1e-5, 1.2e-5, 8.3e-6, 6.1e-6, 5.2e-6, 4.9e-6, 0, 0, 0, 4.4e-6]
case("zero-when-off.csv", table("Time (s),IG (mbar)", zip(range(16), zeros)), "0 while the gauge is off",
     channels={"IG (mbar)": {"quantity": "pressure", "flagged": {"off": [0, 1, 2, 3, 12, 13, 14]}}})
linear = [0.0041, 0.0022, 0.0012, 0.0007, 0.0003, 0.0001, 0.0, -0.0001, 0.0, 0.0001, -0.0002, 0.0, 0.0001, 0.0, -0.0001, 0.0002]
case("zeros-of-a-linear-gauge.csv", table("Time (s),CDG (Torr)", zip(range(16), linear)), "zeros and negatives near the zero of a linear gauge stay",
     channels={"CDG (Torr)": pressure(linear, "Torr", flags={})})
quant = [0.041, 0.022, 0.012, 0.007, 0.003, 0.001, 0.0, 0.001, 0.0, 0.0, 0.001, 0.0, 0.002, 0.001, 0.0, 0.001]
case("zeros-without-negatives.csv", table("Time (s),CDG (Torr)", zip(range(16), quant)), "zeros of a linear gauge that shows no minus stay",
     channels={"CDG (Torr)": pressure(quant, "Torr", flags={})})
five = [0, 0.1, 0.165, 0.2, 0.216]
case("rise-from-zero.csv", table("Time (min),Pressure (mbar)", zip([0, 1, 2, 3, 4], five)), "a rise that begins at 0 keeps its 0",
     channels={"Pressure (mbar)": pressure(five, "mbar", flags={})}, time=[0, 60, 120, 180, 240])
under = [4.1e-3, 2.9e-3, 2.2e-3, 1.8e-3, 1.5e-3, 1.3e-3, 1.2e-3, 1.1e-3, 1.0e-3, 0, 0, 0, 0, 0]
case("zero-under-range.csv", table("Time (s),Pirani (mbar)", zip(range(14), under)), "0 below the floor of a gauge",
     channels={"Pirani (mbar)": {"quantity": "pressure", "flagged": {"underRange": [9, 10, 11, 12, 13]}}})
rng = random.Random(7)
clamp = [100.0] * 12 + [round(100 * 0.8 ** k * (1 + 0.002 * rng.gauss(0, 1)), 3) for k in range(1, 25)]
case("clamp-full-scale.csv", table("Time (s),CDG (Torr)", zip(range(36), clamp)), "pinned at a full scale of 100 Torr",
     channels={"CDG (Torr)": {"quantity": "pressure", "flagged": {"overRange": list(range(12))}}}, assumptions=["taken as a clamp"])
floor = [round(5 * 0.8 ** k * (1 + 0.01 * rng.gauss(0, 1)), 5) for k in range(38)] + [0.001] * 30
case("clamp-floor.csv", table("Time (s),Pirani (mbar)", zip(range(68), floor)), "pinned at a floor of 1e-3 mbar",
     channels={"Pirani (mbar)": {"quantity": "pressure", "flagged": {"underRange": list(range(38, 68))}}})
atm = [760.0] * 12 + [round(760 * 0.7 ** k * (1 + 0.002 * rng.gauss(0, 1)), 2) for k in range(1, 25)]
case("atmosphere-repeats.csv", table("Time (s),Pressure (Torr)", zip(range(36), atm)), "a coarse gauge at atmosphere is no clamp",
     channels={"Pressure (Torr)": pressure(atm, "Torr", flags={})})
held = [500.0] * 20 + [round(500 * 0.8 ** k * (1 + 0.002 * rng.gauss(0, 1)), 3) for k in range(1, 25)]
case("held-at-set-point.csv", table("Time (s),CDG (Pa),Pressure set point (Pa)", zip(range(44), held, [500.0] * 44)),
     "held exactly at its set point is no clamp", channels={"CDG (Pa)": pressure(held, "Pa", flags={})})
live = [round(2e-5 * (1 + 0.02 * rng.gauss(0, 1)), 8) for _ in range(120)]
stuck = live[:60] + [live[60]] * 40 + [round(1.6e-5 * (1 + 0.02 * rng.gauss(0, 1)), 8) for _ in range(60)]
case("stuck.csv", table("Time (s),Gauge (mbar)", zip(range(160), stuck)), "one value for 40 readings in a live signal",
     channels={"Gauge (mbar)": {"quantity": "pressure", "flagged": {"stuck": list(range(61, 100))}}}, assumptions=["stuck"])
coarse = [round(0.0102 + 0.00004 * rng.gauss(0, 1), 4) for _ in range(160)]
case("coarse-is-not-stuck.csv", table("Time (s),CDG (Torr)", zip(range(160), coarse)), "a coarse gauge at its base is not stuck",
     channels={"CDG (Torr)": pressure(coarse, "Torr", flags={})})
def rise(k):
    return 1e-2 + 2e-5 * k + 1e-6 * rng.gauss(0, 1)


isolated = [round(rise(k), 7) for k in range(80)]
isolated[40] = 3.1e-2
case("spike-in-isolation.csv", table("Time (s),Pressure (mbar)", zip(range(80), isolated)), "a lone reading in a rise that leaves nothing behind",
     channels={"Pressure (mbar)": {"quantity": "pressure", "flags": {"spike": 1}, "flagged": {"spike": [40]}}})
burst = [round(rise(k) + (4e-3 if k >= 40 else 0), 7) for k in range(80)]
case("burst-in-isolation.csv", table("Time (s),Pressure (mbar)", zip(range(80), burst)), "a burst that leaves a step is no spike",
     channels={"Pressure (mbar)": pressure(burst, "mbar", flags={})})
pumped = [round(1e-5 + 10 * 0.05 ** k + 1e-7 * rng.gauss(0, 1), 9) for k in range(60)]
pumped[30] = 1.5e-5
case("burst-pumped-away.csv", table("Time (s),Pressure (mbar)", zip(range(60), pumped)), "a lone high reading that this pump takes away within a step",
     channels={"Pressure (mbar)": pressure(pumped, "mbar", flags={})})
slow = [round(1e-5 + 10 * 0.9 ** k + 1e-8 * rng.gauss(0, 1), 9) for k in range(220)]
slow[190] = 3e-5
case("spike-while-pumped.csv", table("Time (s),Pressure (mbar)", zip(range(220), slow)), "a lone high reading that this pump could not take away",
     channels={"Pressure (mbar)": {"quantity": "pressure", "flags": {"spike": 1}, "flagged": {"spike": [190]}}})
dip = [round(rise(k), 7) for k in range(60)]
dip[20] = 1e-3
case("dip.csv", table("Time (s),Pressure (mbar)", zip(range(60), dip)), "a lone low reading", channels={
    "Pressure (mbar)": {"quantity": "pressure", "flags": {"spike": 1}, "flagged": {"spike": [20]}}})
case("garbled-cells.csv", table("Time (s),Pressure (mbar)", zip(T, ["1013.2", "640.0", "1#1.5", "14.25", "1.75", "0.3z8", "0.0625", "0.0113"])),
     "garbled cells are missing, counted and shown", channels={"Pressure (mbar)": pressure([1013.2, 640, None, 14.25, 1.75, None, 0.0625, 0.0113],
     "mbar", flags={"missing": 2})}, assumptions=['2 cells make no sense as readings, the first "1#1.5"'])

# ---- remarks ----------------------------------------------------------------------------------------------------
case("remarks-column.csv", table("Time (s),Pressure (mbar),Remarks", zip(T, FALL, ["", "pump on", "pump on", "", "", "gate shut", "", ""])),
     "remarks, one of which goes on", remarks=[[1, "pump on"], [5, "gate shut"]], names=["Pressure (mbar)"])

# ---- several files ----------------------------------------------------------------------------------------------
first, second = "\n".join(body[:5]) + "\n", "\n".join([body[0]] + body[5:]) + "\n"
case("two-files", {"two-files.part1.csv": first, "two-files.part2.csv": second}, "two files that continue each other", time=T, channels=P_MBAR)
case("two-files-no-second-header", {"two-files-bare.part1.csv": first, "two-files-bare.part2.csv": "\n".join(body[5:]) + "\n"},
     "the second file has no header", time=T, channels=P_MBAR)
again = "\n".join([body[0]] + [f"{t},{p}" for t, p in zip(T, RISE)]) + "\n"
case("two-files-restart", {"two-files-restart.part1.csv": PLAIN, "two-files-restart.part2.csv": again}, "the second file starts at 0 again, as told",
     options={"join": True}, time=list(range(16)), channels={"Pressure (mbar)": pressure(FALL + RISE, "mbar")}, notes=["restart"], assumptions=["starts again"])
case("two-files-at-once", {"two-files-at-once.part1.csv": PLAIN, "two-files-at-once.part2.csv": again},
     "both files start at 0: two gauges, two runs, or a clock that started again", questions=["joining"])
stamped = lambda minute, values: table("Time,Pressure (mbar)", ((f"2024-03-05 10:{minute:02}:{t:02}", p) for t, p in zip(T, values)))
case("two-files-one-event", {"two-files-one-event.part1.csv": stamped(0, FALL), "two-files-one-event.part2.csv": stamped(0, RISE)},
     "two gauges of one event, each with its own file", questions=["joining"])
case("two-files-given-backwards", {"two-files-backwards.part1.csv": stamped(1, RISE), "two-files-backwards.part2.csv": stamped(0, FALL)},
     "files that continue each other, the later one first", time=T + [60 + t for t in T], notes=["gap"], assumptions=["order of their stamps"],
     channels={"Pressure (mbar)": pressure(FALL + RISE, "mbar")})
over = lambda start, values: table("Time,Pressure (mbar)", ((f"{(start + t) % 24:02}:00:00", p) for t, p in zip(T, values)))
case("two-files-over-midnight", {"two-files-over-midnight.part1.csv": over(20, FALL), "two-files-over-midnight.part2.csv": over(4, RISE)},
     "times of day, the first file over midnight", time=[3600 * t for t in range(16)], channels={"Pressure (mbar)": pressure(FALL + RISE, "mbar")},
     notes=["midnight"])
swapped = table("Pressure (mbar),Time (s)", ((p, t + 8) for t, p in zip(T, RISE)))
case("two-files-swapped-columns", {"two-files-swapped.part1.csv": PLAIN, "two-files-swapped.part2.csv": swapped},
     "the second file has its columns in another order", time=list(range(16)), channels={"Pressure (mbar)": pressure(FALL + RISE, "mbar")})
case("two-files-other-columns", {"two-files-other.part1.csv": PLAIN, "two-files-other.part2.csv": PLAIN.replace("(mbar)", "(Torr)")},
     "the second file has another unit",
     error='two-files-other.part2.csv:1: met "Time (s),Pressure (Torr)", expected the header of two-files-other.part1.csv, '
           '"Time (s),Pressure (mbar)"; read logs with other columns one by one')

# ---- spreadsheets and JSON --------------------------------------------------------------------------------------
import datetime

import openpyxl
import xlwt

book = openpyxl.Workbook()
book.active.title = "Notes"
book.active.append(["Invented run, chamber B"])
sheet = book.create_sheet("Data")
sheet.append(["Date and time", "Pressure (mbar)", "Wall (degC)"])
for t, p in zip(T, FALL):
    sheet.append([datetime.datetime(2024, 3, 5, 10, 0, t), p, 20 + t])
book.save(FOLDER / "spreadsheet.xlsx")
case("spreadsheet.xlsx", (FOLDER / "spreadsheet.xlsx").read_bytes(), "XLSX, readings on the second sheet, real dates",
     start="2024-03-05T10:00:00", time=T, channels={"Pressure (mbar)": pressure(FALL, "mbar")})
old = xlwt.Workbook()
sheet = old.add_sheet("Log")
for c, name in enumerate(["Time (s)", "Pressure (Torr)"]):
    sheet.write(0, c, name)
for r, (t, p) in enumerate(zip(T, FALL)):
    sheet.write(r + 1, 0, t)
    sheet.write(r + 1, 1, p)
old.save(str(FOLDER / "spreadsheet-old.xls"))
case("spreadsheet-old.xls", (FOLDER / "spreadsheet-old.xls").read_bytes(), "XLS", time=T, channels={"Pressure (Torr)": pressure(FALL, "Torr")})
case("spreadsheet-wrong-sheet.xlsx", (FOLDER / "spreadsheet.xlsx").read_bytes(), "a sheet that is not there", options={"sheet": "Run"},
     error='spreadsheet-wrong-sheet.xlsx: met no sheet "Run", expected one of Notes, Data; name it with --sheet')
records = [{"time": f"2024-03-05T10:00:{t:02d}Z", "pressure (mbar)": p, "valve": "open"} for t, p in zip(T, FALL)]
case("json-records.json", json.dumps({"station": 4, "readings": records}), "JSON records inside a record", start="2024-03-05T10:00:00Z", time=T,
     channels={"pressure (mbar)": pressure(FALL, "mbar"), "valve": {"quantity": "position", "values": [1] * 8}})
case("json-columns.json", json.dumps({"units": {"t": "s", "p": "Torr"}, "t": T, "p": FALL[:7] + [None]}), "JSON columns with units and a null", time=T,
     channels={"p (Torr)": pressure(FALL[:7] + [None], "Torr", flags={"missing": 1})})
case("json-table.json", json.dumps({"columns": [{"name": "t", "unit": "s"}, {"name": "p", "unit": "mbar"}], "data": list(zip(T, FALL))}),
     "JSON with columns and data", time=T, channels={"p (mbar)": pressure(FALL, "mbar")})
case("ndjson.ndjson", "\n".join(json.dumps(r) for r in records) + "\n", "one JSON record a line", time=T, channels={"pressure (mbar)": pressure(FALL, "mbar")})
case("ndjson-cut.ndjson", "\n".join(json.dumps(r) for r in records) + '\n{"time": "2024-03-05T10:0', "the last record is cut", time=T)

# ---- wrong input, each with its exact message -------------------------------------------------------------------
case("error-empty.csv", "", "an empty file", error="error-empty.csv: met an empty file, expected lines of readings")
case("error-blank.csv", "\n\n  \n", "nothing but blank lines", error="error-blank.csv: met nothing but blank lines, expected lines of readings")
case("error-nuls.csv", b"\0" * 500, "nothing but NUL bytes", error="error-nuls.csv: met nothing but NUL bytes, expected lines of readings")
case("error-prose.txt", "Dear colleague,\nthe chamber does not pump down.\nPlease have a look.\n", "a letter",
     error='error-prose.txt:1: met "Dear colleague,", expected rows of numbers under a header; no line looks like readings')
case("error-pdf.txt", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", "a PDF",
     error="error-pdf.txt: met a PDF document, expected a text log, a spreadsheet or JSON; export the readings as text")
noise = bytes(rng.randrange(1, 256) for _ in range(2000))
controls = sum(1 for c in noise if c < 32 and not 9 <= c <= 13 and c not in (26, 27))
case("error-binary.dat", noise, "binary data",
     error=f"error-binary.dat: met binary data ({controls} control characters in 2000 bytes), expected a text log, a spreadsheet or JSON; "
           "export the readings as text")
case("error-no-pressure.csv", table("Time (s),Humidity (%),Power (W),T1 (degC)", zip(T, range(40, 48), range(8), range(20, 28))), "a log without a pressure",
     error="error-no-pressure.csv: met no pressure in it (columns: Time (s), Humidity (%), Power (W), T1 (degC)), expected at least one column of "
           "pressures; if one of these is a pressure, name it with --channel and its unit with --unit")
case("error-mixed-dates.csv", timed(["28/02/2024 10:00:00", "02/29/2024 10:00:00", "03/03/2024 10:00:00"], values=FALL[:3]), "dates in both orders",
     error='error-mixed-dates.csv:3, column 1: met "02/29/2024", expected a date as day-month-year, like 28/02/2024; no one order fits all dates of the column')
case("error-second-header.csv", "\n".join(body[:5]) + "\nTime (s),Pressure (Torr)\n" + "\n".join(body[5:]) + "\n", "another unit from the middle on",
     error='error-second-header.csv:6: met another header, "Time (s), Pressure (Torr)", expected the header of line 1 again; split the file there and '
           'read the parts one by one')
case("error-bad-times.csv", timed([t if t % 3 else "xx" for t in range(1, 41)], "Time (s)", range(1, 41)), "times that are none",
     error='error-bad-times.csv:4, column 1: met "xx,3", expected a row with time as seconds in column 1; 13 such lines')
case("error-decimal-commas.csv", table("Time (s),Pressure (mbar)", (("0,%d" % t, "1,%03d" % (900 - t)) for t in range(1, 9))),
     "decimal commas between commas", error='error-decimal-commas.csv:2: met "0,1,1,899", 4 cells under 2 names, expected commas that either part the cells or are the decimal mark; save the log with semicolons or with decimal points')
case("error-gzip-cut.csv.gz", gzip.compress(PLAIN.encode(), mtime=0)[:60], "gzip that ends early", error='error-gzip-cut.csv.gz: met gzip data that are damaged or end early, expected a complete gzip file')
case("error-zip.zip", b"PK\x03\x04" + b"\x14\0\0\0\0\0" + b"nothing of a spreadsheet in here" * 3, "a zip archive",
     error="error-zip.zip: met a zip archive that is no spreadsheet, expected a text log, a spreadsheet or JSON; unpack it first")
case("error-json-breaks.json", '{"t": [0, 1, 2],\n "p": [1, 2, }\n', "JSON that breaks", error='error-json-breaks.json: met JSON that is not well made or breaks off, expected whole JSON')
case("error-json-no-table.json", '{"station": 4, "on": true}', "JSON without a table",
     error="error-json-no-table.json: met JSON without a table in it, expected a list of records or columns of numbers")
case("error-ndjson-line.ndjson", json.dumps(records[0]) + "\n" + json.dumps(records[1]) + "\n{oops}\n" + json.dumps(records[2]) + "\n", "a broken line of NDJSON",
     error='error-ndjson-line.ndjson:3: met "{oops}", expected one whole JSON record')
case("error-unknown-unit.csv", table("Time (s),Pressure", zip(T, RISE)), "a unit nobody knows", options={"unit": "furlong"},
     error='unit: met "furlong", expected a unit such as Pa, mbar, Torr, mTorr, kPa, bar, psia, inHg vac')
case("error-unknown-channel.csv", table("Time (s),Gauge A (Pa),Gauge B (Pa)", zip(T, RISE, FALL)), "a channel that is not there", options={"channels": ["C"]},
     error='channel: met "C", expected one of Gauge A (Pa), Gauge B (Pa)')
case("error-ambiguous-channel.csv", table("Time (s),Gauge A (Pa),Gauge B (Pa)", zip(T, RISE, FALL)), "a name that fits two", options={"channels": ["gauge"]},
     error='channel: met "gauge", expected one that fits only one of Gauge A (Pa), Gauge B (Pa)')
case("error-too-many-columns.csv", ",".join(["1"] * 6000) + "\n" + ",".join(["2"] * 6000) + "\n", "six thousand columns",
     error="error-too-many-columns.csv: met 6000 columns, expected at most 5000; cut the table")


def xlsx(sheets):
    """The bytes of a workbook: rows of cells by the name of their sheet."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    packed = io.BytesIO()
    made.save(packed)
    return packed.getvalue()


# ---- what a stranger brought: loggers, spreadsheets and controllers of many countries -----------------------------
MBAR = lambda name="Pressure (mbar)", values=FALL, **more: {name: pressure(values, "mbar", **more)}
case("words-for-in.csv", table("Elapsed time in seconds,Pressure in Torr", zip(T, FALL)), "units behind the word in", time=T, channels={"Pressure in Torr": pressure(FALL, "Torr")})
case("german-units-in-words.csv", table("Zeit in Minuten;Druck in Pascal", ((t, comma(p)) for t, p in zip(T, FALL)), ";"), "units spelled out in German",
     time=[60 * t for t in T], time_format="minutes", channels={"Druck in Pascal": pressure(FALL, "Pa")})
case("swedish.csv", table("Tid (s);Tryck (mbar);Temperatur (°C);Ventil", ((t, comma(p), "21,5", "öppen" if t < 3 else "stängd") for t, p in zip(T, RISE)), ";"),
     "Swedish header and states", time=T, channels={"Tryck (mbar)": pressure(RISE, "mbar"), "Ventil": {"quantity": "position", "values": [1, 1, 1, 0, 0, 0, 0, 0]}})
case("swedish-stamps.csv", table("Datum;Tryck (mbar)", ((f"5 maj 2026 kl. 14:00:0{t}", comma(p)) for t, p in zip(T, FALL)), ";"), "a Swedish month and kl.",
     start="2026-05-05T14:00:00", time=T, channels=MBAR("Tryck (mbar)"))
case("danish-dotted-clock.csv", table("Dato;Klokken;Tryk (mbar);Ventil", (("25-11-2026", f"14.0{t}.30", comma(p), "åben" if t < 3 else "lukket") for t, p in zip(T, FALL)), ";"),
     "Danish: times with dots", start="2026-11-25T14:00:30", time=[60 * t for t in T],
     channels={**MBAR("Tryk (mbar)"), "Ventil": {"quantity": "position", "values": [1, 1, 1, 0, 0, 0, 0, 0]}})
case("finnish-dotted-stamp.csv", table("Aika;Paine (mbar)", ((f"25.11.2026 14.0{t}.30", comma(p)) for t, p in zip(T, FALL)), ";"),
     "Finnish: date and time with dots; the seconds are no fraction of a minute", start="2026-11-25T14:00:30", time=[60 * t for t in T], channels=MBAR("Paine (mbar)"))
case("dotted-clock.csv", table("Uhrzeit;Druck (mbar)", ((f"10.0{t + 1}.05", comma(p)) for t, p in zip(T, FALL)), ";"), "times with dots that could be dates",
     start=None, time=[60 * t for t in T], time_format="time of day", channels=MBAR("Druck (mbar)"))
case("french-stamps.csv", table("Horodatage;Pression (hPa);Vanne", ((f"25/11/2026 14:0{t}:00", comma(p), "ouverte" if t < 3 else "fermée") for t, p in zip(T, FALL)), ";").encode("latin-1"),
     "French header in Latin-1", start="2026-11-25T14:00:00", time=[60 * t for t in T],
     channels={"Pression (hPa)": pressure(FALL, "hPa"), "Vanne": {"quantity": "position", "values": [1, 1, 1, 0, 0, 0, 0, 0]}})
case("french-weekdays.csv", table("Date;Pression (mbar)", ((f"jeudi 5 novembre 2026 14:00:0{t}", comma(p)) for t, p in zip(T, FALL)), ";"), "a weekday and a month in words",
     start="2026-11-05T14:00:00", time_format="day-month-year", time=T, channels=MBAR("Pression (mbar)"))
case("french-hours.csv", table("Heure;Pression (mbar)", ((f"14h{30 + t}", comma(p)) for t, p in zip(T, FALL)), ";"), "14h30 is a time of day", time=[60 * t for t in T],
     time_format="time of day", channels=MBAR("Pression (mbar)"))
case("italian.csv", table("Data;Ora;Pressione (mbar);Valvola", (("25/11/2026", f"14:0{t}", comma(p), "aperta" if t < 3 else "chiusa") for t, p in zip(T, FALL)), ";"), "Italian",
     start="2026-11-25T14:00:00", time=[60 * t for t in T], channels={**MBAR("Pressione (mbar)"), "Valvola": {"quantity": "position", "values": [1, 1, 1, 0, 0, 0, 0, 0]}})
case("polish.csv", table("Czas [s];Ciśnienie [mbar]", ((t, comma(p)) for t, p in zip(T, FALL)), ";"), "Polish", time=T, channels=MBAR("Ciśnienie [mbar]"))
case("letters-for-hours.csv", table("Elapsed,Pressure (mbar)", ((f"{t // 60}h {t % 60:02d}m 00s", p) for t, p in zip(range(57, 65), FALL))), "1h 02m 00s",
     time=[60 * t for t in T], time_format="elapsed h:m:s", channels=MBAR())
case("dots-in-am-pm.csv", table("Time,Pressure (mbar)", ((f"11:59:{56 + t} a.m." if t < 4 else f"12:00:0{t - 4} p.m.", p) for t, p in zip(T, FALL))), "a.m. to p.m. over noon", time=T, channels=MBAR())
case("am-pm-over-midnight.csv", table("Time,Pressure (mbar)", ((f"11:59:{56 + t} PM" if t < 4 else f"12:00:0{t - 4} AM", p) for t, p in zip(T, FALL))), "PM to AM over midnight", time=T,
     notes=["midnight"], channels=MBAR())
case("narrow-blank-before-pm.csv", table("Time,Pressure (mbar)", ((f'"11/25/2026, 2:00:0{t}\u202fPM"', p) for t, p in zip(T, FALL))), "a narrow no-break blank before PM",
     start="2026-11-25T14:00:00", time=T, channels=MBAR())
case("zones-in-words.csv", table("Time,Pressure (mbar)", ((f"2026-10-25 02:{30 + 10 * t if t < 3 else 10 * (t - 3):02d}:00 {'CEST' if t < 3 else 'CET'}", p) for t, p in zip(T, FALL))),
     "summer time ends, the zone is named", start="2026-10-25T00:30:00Z", time=[600 * t for t in T], notes=[], channels=MBAR())
case("offset-behind-utc.csv", table("Time,Pressure (mbar)", ((f"2026-11-25 14:00:0{t} UTC+01:00", p) for t, p in zip(T, FALL))), "UTC+01:00", start="2026-11-25T13:00:00Z", time=T, channels=MBAR())
case("autumn-clock-only.csv", table("Zeit;Druck (mbar)", zip([f"02:{10 * i:02d}:00" for i in range(6)] + [f"02:{10 * i:02d}:00" for i in range(6)] + ["03:00:00"], (comma(round(0.01 + 0.0005 * i, 4)) for i in range(13))), ";"),
     "an hour twice, without a date", time=[600 * i for i in range(13)], notes=["clock change"], channels={"Druck (mbar)": pressure([round(0.01 + 0.0005 * i, 4) for i in range(13)], "mbar")})
case("spring-short-stamps.csv", table("Zeit;Druck (mbar)", zip([f"29.03.2026 01:{10 * i:02d}" for i in range(6)] + [f"29.03.2026 03:{10 * i:02d}" for i in range(6)], (comma(round(0.01 + 0.0005 * i, 4)) for i in range(12))), ";"),
     "an hour that is not there, stamps without seconds", start="2026-03-29T01:00:00", time=[600 * i for i in range(12)], notes=["clock change"], channels={"Druck (mbar)": pressure([round(0.01 + 0.0005 * i, 4) for i in range(12)], "mbar")})
case("epoch-us.csv", table("ts_us,pressure_mbar", ((1793887200000000 + t * 500000, p) for t, p in zip(T, FALL))), "microseconds since 1970", start="2026-11-05T14:00:00Z", time_format="epoch us",
     time=[t / 2 for t in T], channels=MBAR("pressure_mbar"))
case("controller-literals.csv", table("Timestamp;PT101.PV [mbar];XV101.OPEN", ((f"DT#2026-11-05-14:00:0{t}", p, "TRUE" if t < 3 else "FALSE") for t, p in zip(T, FALL)), ";"),
     "time literals of a controller language", start="2026-11-05T14:00:00", time=T, channels={**MBAR("PT101.PV [mbar]"), "XV101.OPEN": {"quantity": "position", "values": [1, 1, 1, 0, 0, 0, 0, 0]}})
case("compact-date-and-time.csv", table("Date,Time,Pressure_mbar", zip(["20261105"] * 8, ["95957", "95958", "95959", "100000", "100001", "100002", "100003", "100004"], FALL)),
     "20261105 and 95957 in two columns, the leading nought lost", start="2026-11-05T09:59:57", time=T, channels=MBAR("Pressure_mbar"))
case("date-on-change.csv", table("Date,Time,Pressure (mbar)", zip(["25.11.2026", "", "", "", "26.11.2026", "", "", ""], ["23:40:00", "23:45:00", "23:50:00", "23:55:00", "00:00:00", "00:05:00", "00:10:00", "00:15:00"], FALL)),
     "the date is written only where it changes", start="2026-11-25T23:40:00", time=[300 * t for t in T], notes=[], channels=MBAR())
case("twenty-four-hours.csv", table("Date,Time,mbar", zip(["2026-11-25"] * 4 + ["2026-11-26"] * 4, ["23:00", "23:20", "23:40", "24:00", "00:20", "00:40", "01:00", "01:20"], FALL)),
     "24:00 ends a day", start="2026-11-25T23:00:00", time=[1200 * t for t in T], channels=MBAR("mbar"))
case("time-last.csv", table("Pressure (mbar),Temperature (C),Time", ((p, 21, f"2026-11-05T14:00:0{t}") for t, p in zip(T, FALL))), "the time in the last column", start="2026-11-05T14:00:00", time=T, channels=MBAR())
case("two-times.csv", table("Timestamp,Elapsed (s),Pressure (Torr)", ((f"2026-11-05 14:00:{2 * t:02d}", f"{2 * t}.000", p) for t, p in zip(T, FALL))), "two columns of time",
     start="2026-11-05T14:00:00", time=[2 * t for t in T], names=["Pressure (Torr)"], channels={"Pressure (Torr)": pressure(FALL, "Torr")})
case("times-with-units.csv", table("Time,Pressure", ((f"{t} min", f"{p} Torr") for t, p in zip(T, FALL))), "units in the cells of the time, too", time=[60 * t for t in T], time_format="minutes",
     channels={"Pressure": pressure(FALL, "Torr", unitFrom="cells")})
case("times-with-glued-units.csv", table("Time,Pressure", ((f"{t}s", f"{p}mbar") for t, p in zip(T, FALL))), "units glued to every number", time=T, channels={"Pressure": pressure(FALL, "mbar")})
case("units-alone-as-header.csv", table("[s],[mbar]", zip(T, FALL)), "a header of nothing but units", time=T, channels=MBAR("[mbar]"))
case("two-header-lines-and-units.csv", "Time,Chamber,,Foreline,\n,p,T,p,T\ns,mbar,°C,mbar,°C\n" + table("", ((t, p, 21, 10 * p, 22) for t, p in zip(T, RISE))), "merged cells over names over units",
     time=T, channels={"p": pressure(RISE, "mbar"), "p (2)": pressure([10 * p for p in RISE], "mbar")})
case("newest-first-clock.csv", table("Time,Pressure (mbar)", [(f"14:0{t}:00", FALL[t]) for t in reversed(T)]), "times of day from the newest to the oldest", time=[60 * t for t in T], notes=["step back"], channels=MBAR())
case("newest-first-seconds.csv", table("Time (s),Pressure (mbar)", [(10 * t, FALL[t]) for t in reversed(T)]), "seconds that count down the page", time=[10 * t for t in T], notes=["step back"], channels=MBAR())
grown = [(f"2026-11-05 14:{i:02d}:00", round(0.01 + 0.001 * i, 4)) for i in range(20)]
case("overlap-in-one-file.csv", table("Time,Pressure (mbar)", grown[:12] + grown[8:]), "two saves of one growing log, joined", rows=20, time=[60 * i for i in range(20)],
     leftOut={"rows that repeat earlier ones": 4}, channels={"Pressure (mbar)": pressure([p for _, p in grown], "mbar")})
case("overlapping-files", {"overlapping-files.part1.csv": table("Time,Pressure (mbar)", grown[:12]), "overlapping-files.part2.csv": table("Time,Pressure (mbar)", grown[8:])},
     "two files that overlap", rows=20, time=[60 * i for i in range(20)], leftOut={"rows that repeat earlier ones": 4}, channels={"Pressure (mbar)": pressure([p for _, p in grown], "mbar")})
case("same-stamps-other-readings.csv", table("Time,Pressure (mbar)", [(f"2026-11-05 14:{m:02d}:00", p) for m, p in zip([0, 1, 2, 3, 1, 2, 3, 4], RISE)]), "a clock set back: the readings differ, nothing is left out",
     rows=8, time=[60 * t for t in T], notes=["step back"], channels=MBAR(values=RISE))
case("flat-restart.csv", table("Time (s),Pressure (mbar)", [(t, 1013.2) for t in T] + [(t, 1013.2) for t in T]), "a time that starts again with the same readings is no overlap", rows=16, notes=["restart"], channels=MBAR(values=[1013.2] * 16))
case("thousands-apostrophe.csv", table("Zeit [s];Druck [Pa]", zip(T, ["101'320", "64’000", "12'150", "1'425", "175", "38.5", "6.25", "1.13"]), ";"), "apostrophes part thousands", time=T,
     channels={"Druck [Pa]": pressure([p * 100 for p in [1013.2, 640, 121.5, 14.25, 1.75, 0.385, 0.0625, 0.0113]], "Pa")})
case("thousands-blanks.csv", table("Temps (s);Pression (Pa)", zip(T, ["101\u00a0320,0", "64\u202f000,0", "12\u00a0150,0", "1 425,0", "175,0", "38,5", "6,25", "1,13"]), ";"),
     "blanks of three kinds part thousands", time=T, channels={"Pression (Pa)": pressure([101320, 64000, 12150, 1425, 175, 38.5, 6.25, 1.13], "Pa")})
case("thousands-or-decimals.csv", table("Zeit (s);Druck (Pa)", zip(T, ["101.320", "64.000", "12.150", "1.425", "175", "38", "6", "1"]), ";"), "points that seem to part thousands: asked", questions=["decimal mark"])
case("thousands-points-told.csv", table("Zeit (s);Druck (Pa)", zip(T, ["101.320", "64.000", "12.150", "1.425", "175", "38", "6", "1"]), ";"), "the same, told", options={"decimalMark": ","}, time=T,
     channels={"Druck (Pa)": pressure([101320, 64000, 12150, 1425, 175, 38, 6, 1], "Pa")})
case("three-decimals-are-decimals.csv", table("Time (s);P (mbar)", zip(T, ["101.320", "64.000", "12.150", "1.425", "0.175", "0.038", "0.006", "0.001"]), ";"), "three decimals throughout are decimals", time=T,
     channels={"P (mbar)": pressure([101.32, 64, 12.15, 1.425, 0.175, 0.038, 0.006, 0.001], "mbar")})
case("exponents-with-comma.csv", table("Zeit (s);Druck (mbar)", ((t, ("%.4E" % p).replace(".", ",")) for t, p in zip(T, FALL)), ";"), "1,0132E+03", time=T, channels=MBAR("Druck (mbar)"))
case("unicode-minus-exponents.csv", table("t (s),p (mbar)", ((t, ("%.3e" % p).replace("-", "\u2212")) for t, p in zip(T, RISE))), "a typographic minus in the exponent", time=T, channels=MBAR("p (mbar)", RISE))
case("plus-signs.csv", table("Time (s),Pressure (mbar)", ((f"+{t:05d}", f"+{p:.4E}") for t, p in zip(T, FALL))), "plus signs and leading noughts", time=T, channels=MBAR())
case("no-break-blanks.csv", table("Time\u00a0(s),Pressure\u00a0(mbar)", ((t, f"{p}\u00a0mbar") for t, p in zip(T, FALL))), "no-break blanks in header and cells", time=T, names=["Pressure\u00a0(mbar)"], channels={"Pressure\u00a0(mbar)": pressure(FALL, "mbar")})
case("formula-text.csv", table("Time (s);Pressure (mbar)", ((f'="{t}"', f'="{p}"') for t, p in zip(T, FALL)), ";"), 'numbers kept as text by ="..."', time=T, channels=MBAR())
case("everything-quoted.csv", table('"Sample","Date","Time","Pressure [mbar]","Status"', ((f'"{t + 1}"', '"2026-11-05"', f'"14:00:0{t}"', f'"{p}"', '"OK"') for t, p in zip(T, FALL))), "every cell in quotes",
     start="2026-11-05T14:00:00", time=T, channels={**MBAR("Pressure [mbar]"), "Status": {"quantity": "text", "texts": ["OK"] * 8}})
case("sep-line.csv", b"\xef\xbb\xbf" + ("sep=;\r\n" + table("Zeit (s);Druck (mbar)", ((t, comma(p)) for t, p in zip(T, FALL)), ";", "\r\n")).encode(), "a line that tells the separator", time=T, channels=MBAR("Druck (mbar)"))
case("blank-columns.csv", table("Time (s),,Pressure (mbar),,,T (degC)", ((t, "", p, "", "", 20 + t) for t, p in zip(T, FALL))), "blank columns between", time=T, names=["Pressure (mbar)", "T (degC)"], channels=MBAR())
WIDE = ["Time (s)"] + [f"Ch{i}" for i in range(1, 13)] + ["TC1 (°C)", "TC2 (°C)", "MFC1 (sccm)", "Pirani (mbar)", "Cold cathode (mbar)", "Valve", "Alarm"]
case("twenty-columns.csv", table(",".join(WIDE), ([t] + [round(0.1 * i + 0.01 * t, 3) for i in range(1, 13)] + [21, 22, 0, p, 2 * p, 1, 0] for t, p in zip(T, FALL))), "twenty columns, two of them pressures", time=T,
     channels={**MBAR("Pirani (mbar)"), "Cold cathode (mbar)": pressure([2 * p for p in FALL], "mbar"), "Ch1": {"quantity": "number"}, "Valve": {"quantity": "position"}})
case("forty-lines-above.txt", "".join(f"Setting {i:02d}:\t{3 * i}\n" for i in range(38)) + "Unit:\tTorr\n\n" + table("Time (s)\tPressure", zip(T, FALL), "\t"), "forty lines of settings that look like rows", time=T,
     channels={"Pressure": pressure(FALL, "Torr", unitFrom="units line")})
case("pages.txt", "".join(f"Page {k + 1}\nTime (s)   Pressure (mbar)\n" + "".join(f"{t:6d}   {FALL[t]:12.4f}\n" for t in range(4 * k, 4 * k + 4)) + "\f\n" for k in range(2)), "pages with form feeds and headers", time=T, channels=MBAR())
case("table-of-bars.txt", "| Time (s) | Pressure (mbar) |\n|---|---|\n" + "".join(f"| {t} | {p} |\n" for t, p in zip(T, FALL)), "bars at both ends and a ruler", time=T, channels=MBAR())
case("boxed-table.txt", "+------+----------+\n| t/s  | p/mbar   |\n+------+----------+\n" + "".join(f"| {t:4d} | {p:8.4f} |\n" for t, p in zip(T, FALL)) + "+------+----------+\n", "a box drawn around", time=T, channels=MBAR("p/mbar"))
case("notes-between-stars.csv", PLAIN.replace("3,14.25\n", "3,14.25\n*** logger paused ***\n\n").replace("6,0.0625", "*** resumed ***\n6,0.0625"), "what the logger says in the middle", time=T, channels=MBAR(),
     remarks=[[4, "** logger paused ***"], [6, "** resumed ***"]])
case("totals-below.csv", PLAIN + "\nMin,0.0113\nMax,1013.2\nMean,223.9\n", "totals below the table", rows=8, time=T, channels=MBAR())
case("nul-in-a-cell.csv", PLAIN.encode().replace(b"4,1.75\n", b"4,1.\0\0\x0075\n"), "NUL bytes within a number: no half of it is a reading", time=T, channels={"Pressure (mbar)": {"quantity": "pressure", "flagged": {"missing": [4]}}})
case("nul-padding.csv", PLAIN.encode().replace(b"4,1.75\n", b"4\0\0,1.75\0\0\0\n"), "cells padded with NUL bytes", time=T, channels=MBAR())
case("nul-block-within-lines.csv", PLAIN.encode() + b"8,1" + b"\0" * 300 + b"3,0.0100\n14,0.0099\n", "a lost block that begins and ends within lines: neither half is a row", time=T + [8, 14],
     channels={"Pressure (mbar)": {"quantity": "pressure", "flagged": {"missing": [8]}}})
case("full-counts.csv", table("Time (s),p (mbar)", zip(range(20), [1013, 900, 700, 500, 300, 100, 50, 20, 10, 5, 2, 1, 0.5, 32767, 32767, 0.2, 0.1, 0.05, 0.02, 0.01])), "32767 is the end of a converter",
     time=list(range(20)), channels={"p (mbar)": {"quantity": "pressure", "flags": {"off": 2}}})
case("column-of-units.csv", table("Time (s),Pressure,Unit", ((t, p, "mbar") for t, p in zip(T, FALL))), "the unit in a column of its own", time=T, channels={"Pressure": pressure(FALL, "mbar")})
case("below-atmosphere-in-words.csv", table("Time (s),Vacuum (kPa below atm)", zip(T, [0, 40, 80, 95, 99, 100.5, 101, 101.2])), "kPa below atm is no atmosphere", options={"barometerPa": 101300}, time=T,
     channels={"Vacuum (kPa below atm)": {"quantity": "pressure", "unit": "kPa vac", "values": [101300 - 1000 * v for v in [0, 40, 80, 95, 99, 100.5, 101, 101.2]]}})
case("above-atmosphere-in-words.csv", table("Time (s),Line (mbar rel. to atm)", zip(T, [0, -400, -800, -950, -990, -1005, -1010, -1012])), "relative to atmosphere in words", questions=["barometer"])
case("factor-in-header.csv", table("Time (s),Pressure x1E-3 (mbar)", zip(T, [11.3, 13.1, 15.2, 16.8, 18.9, 20.7, 22.6, 24.5])), "a factor in the header: which way, is asked", questions=["unit"])
case("factor-told.csv", table("Time (s),Pressure x1E-3 (mbar)", zip(T, [11.3, 13.1, 15.2, 16.8, 18.9, 20.7, 22.6, 24.5])), "the same, told", options={"columns": {"Pressure x1E-3 (mbar)": {"unit": "1e-3 mbar"}}}, time=T,
     channels={"Pressure x1E-3 (mbar)": {"quantity": "pressure", "values": [p / 10 for p in [11.3, 13.1, 15.2, 16.8, 18.9, 20.7, 22.6, 24.5]]}})
case("one-gauge-unreadable.csv", table("Time (s);A (mbar);B (mbar)", ((t, comma(p), p) for t, p in zip(T, FALL)), ";"), "one gauge with commas, one with points: said", time=T, assumptions=['column "A (mbar)" is left as text'], channels=MBAR("B (mbar)"))
case("first-row-unreadable.csv", table("Time (s),P (mbar)", zip(T, ["1.013k", 640, 121.5, 14.25, 1.75, 0.385, 0.0625, 0.0113])), "a first row that cannot be read is told", rows=7, assumptions=['one line between header and data left out, the first in line 2: "0,1.013k"'])
case("spreadsheet-text-numbers.xlsx", xlsx({"Log": [["Messung 7"], [], ["Zeitstempel", "Druck (mbar)"]] + [[datetime.datetime(2026, 11, 5, 14, 0, t), comma(p)] for t, p in zip(T, FALL)]}), "numbers typed as text with a comma",
     start="2026-11-05T14:00:00", time=T, channels=MBAR("Druck (mbar)"))
case("spreadsheet-date-and-time-cells.xlsx", xlsx({"Info": [["Operator", "n/a"]], "Data": [["Date", "Time", "Pressure (Torr)"]] + [[datetime.date(2026, 11, 5 + t // 4), datetime.time(23 if t < 4 else 0, 59 if t < 4 else 0, 56 + t if t < 4 else t - 4), p] for t, p in zip(T, FALL)]}),
     "date and time in cells of their own, on the second sheet", start="2026-11-05T23:59:56", time=T, channels={"Pressure (Torr)": pressure(FALL, "Torr")})
case("error-spreadsheet-cut.xlsx", xlsx({"Data": [["Time (s)", "Pressure (mbar)"]] + [[t, p] for t, p in zip(T, FALL)]})[:3000], "a spreadsheet that ends early",
     error="error-spreadsheet-cut.xlsx: met a spreadsheet that is damaged or ends early, expected a whole XLSX file")
case("error-long-gzip-cut.csv.gz", gzip.compress(table("Time (s),Pressure (mbar)", ((t, round(1000 * 0.99**t, 4)) for t in range(2000))).encode(), mtime=0)[:6000], "a longer gzip that ends early",
     error="error-long-gzip-cut.csv.gz: met gzip data that are damaged or end early, expected a complete gzip file")
case("error-long-table.csv", table("time,tag,value", ((f"2026-11-05T14:00:0{t // 2}", ["PT101", "TT101"][t % 2], [FALL[t // 2], 21.5][t % 2]) for t in range(16))), "a row for each tag",
     error='error-long-table.csv:1, column 2: met a long table: column "tag" says what each row measures (PT101, TT101), expected a column for each gauge; turn it into a wide table, or keep the rows of one gauge')
case("error-unit-changes.csv", table("Time (s),Pressure,Unit", zip(T, [1.0132, 640, 121.5, 14.25, 1.75, 38.5, 6.25, 1.13], ["bar"] + ["mbar"] * 4 + ["Pa"] * 3)), "a column of units that change",
     error='error-unit-changes.csv:1, column 3: met several units in column "Unit" (bar, mbar, Pa), expected one unit for a column; bring the readings to one unit, or write the unit behind each of them')
case("error-comma-in-time.csv", table("Time,p (mbar)", ((f"14:00:00,{100 * t:03d}", p) for t, p in zip(T, FALL))), "a comma within the time, between commas",
     error='error-comma-in-time.csv:2: met "14:00:00,000,1013.2", 3 cells under 2 names, expected a name for each column; name every column, or save the log with another separator than its numbers and times hold')
case("error-logarithm.csv", table("Time (s),log10 P (Torr)", zip(T, [2.88, 2.0, 1.2, 0.3, -0.8, -1.9, -2.2, -2.9])), "the logarithm of a pressure is none",
     error="error-logarithm.csv: met no pressure in it (columns: Time (s), log10 P (Torr)), expected at least one column of pressures; if one of these is a pressure, name it with --channel and its unit with --unit")
case("error-plus-minus.csv", table("Time (s),P (mbar)", ((t, f"{p} ± 0.1") for t, p in zip(T, FALL))), "readings with their error",
     error='error-plus-minus.csv: met no pressure in it (columns: Time (s), P (mbar); column "P (mbar)" is left as text: it holds no readings that make sense, such as "1013.2 ± 0.1"), expected at least one column of pressures; if one of these is a pressure, name it with --channel and its unit with --unit')
case("error-header-alone.csv", "Time (s),Pressure (mbar)\n", "a header without rows", error='error-header-alone.csv:1: met "Time (s),Pressure (mbar)", expected rows of numbers under a header; no line looks like readings')
case("error-spreadsheet-old-cut.xls", (FOLDER / "spreadsheet-old.xls").read_bytes()[:3000], "an XLS that ends early",
     error="error-spreadsheet-old-cut.xls: met an office document that is damaged or ends early, expected a whole file")
