/**
 * The log in one SQLite file: readings, gaps, alerts and their outbox, findings, saved states,
 * notes. The only package that speaks SQL. Entry: {@link org.cellherd.store.LogFile}.
 *
 * <p><b>Who writes.</b> One process writes (a lock on {@code FILE.lock} sees to it); others read at
 * the same time, and write only {@code acknowledgement}, {@code note} and {@code note_change}.
 * Write-ahead log, synchronous FULL: what was committed survives the loss of power. Readings go
 * every few seconds into {@code FILE-tail}, every few minutes from there into {@code recent}, and a
 * full hour of them moves into one {@code block}.
 *
 * <p><b>Tables.</b> Times are ms since 1970 UTC; values are whole numbers in the stored unit of
 * their channel: cells 0.1 mV, {@code pack_v} mV, {@code current_a} mA (positive = charging),
 * {@code temp_n_c} 0.1 degC, {@code soc_pct} 0.1 %, {@code board_ah} mAh, switches 1 = closed.
 * Column {@code session} names the row of table {@code session} whose clock the times follow.
 *
 * <table>
 * <caption>Schema version 8</caption>
 * <tr><td>{@code session}</td><td>stretches with one clock each: {@code kind} start, step or plain;
 *     {@code rank} is the order of happening; {@code run} the daemon's run, 0 = imported;
 *     {@code ended} 1 = closed in order</td></tr>
 * <tr><td>{@code hour, day}</td><td>count, min, mean, max, first and last of every channel but
 *     masks; days are UTC; an hour appears when it is packed</td></tr>
 * <tr><td>{@code block, recent}</td><td>the readings themselves, packed without loss; {@code crc}
 *     is the CRC-32C of {@code data}; {@code export} writes them as CSV</td></tr>
 * <tr><td>{@code gap}</td><td>when nothing was heard, and why; it comes behind the readings up to
 *     {@code after_ms}</td></tr>
 * <tr><td>{@code alert}</td><td>every alert as it stands ({@code stands} 1) or ended</td></tr>
 * <tr><td>{@code event}</td><td>every change of an alert; {@code delivered} 0 = no broker has it
 *     yet</td></tr>
 * <tr><td>{@code acknowledgement, note}</td><td>what people say; {@code taken} 1 = the daemon knows
 *     </td></tr>
 * <tr><td>{@code note_change}</td><td>what a note says since {@code at_ms}; {@code text} null =
 *     withdrawn</td></tr>
 * <tr><td>{@code redating}</td><td>which readings were given other times, and by how much;
 *     {@code from_ms} and {@code to_ms} are the old ones</td></tr>
 * <tr><td>{@code board}</td><td>how the board of each pack names itself, and when that was learnt
 *     </td></tr>
 * <tr><td>{@code identity}</td><td>the UUID of the log; its first eight digits are {@code
 *     user_version}</td></tr>
 * <tr><td>{@code finding}</td><td>results with their sentence; facts are packed</td></tr>
 * <tr><td>{@code snapshot}</td><td>states of the analyses, from which a restart goes on</td></tr>
 * <tr><td>{@code seal}</td><td>sums over some rows of a table, by which damage is noticed; any
 *     change by SQL deletes those of its rows</td></tr>
 * <tr><td>{@code heard}</td><td>how many readings an hour brought that is not packed yet</td></tr>
 * <tr><td>{@code retired}</td><td>up to when readings were dropped on purpose</td></tr>
 * <tr><td>{@code change, forwarding}</td><td>what a centre does not hold yet, by table and key; both
 *     empty unless the log is forwarded</td></tr>
 * <tr><td>{@code schema_version}</td><td>steps applied</td></tr>
 * </table>
 *
 * <p><b>In the sqlite3 shell</b> ({@code sqlite3 -readonly cellherd.db}):
 *
 * <pre>
 * -- the highest and lowest voltage of each cell by day, in mV
 * SELECT date(start_ms / 1000, 'unixepoch') AS day, channel, min / 10.0 AS low, max / 10.0 AS high
 *   FROM day WHERE pack = 'a' AND channel LIKE 'cell_%' ORDER BY day, channel;
 * -- the widest spread of hourly means, in mV
 * SELECT datetime(start_ms / 1000, 'unixepoch') AS hour, (max(mean) - min(mean)) / 10 AS spread_mv
 *   FROM hour WHERE pack = 'a' AND channel LIKE 'cell_%'
 *   GROUP BY start_ms ORDER BY spread_mv DESC LIMIT 10;
 * -- ampere-hours in and out by day, from hourly means: right to the coverage
 * SELECT date(start_ms / 1000, 'unixepoch') AS day, sum(max(mean, 0)) / 1000 AS in_ah,
 *   sum(min(mean, 0)) / 1000 AS out_ah
 *   FROM hour WHERE pack = 'a' AND channel = 'current_a' GROUP BY day;
 * -- when was nothing heard, longest first
 * SELECT datetime(from_ms / 1000, 'unixepoch') AS since, (to_ms - from_ms) / 60000.0 AS minutes, cause
 *   FROM gap WHERE pack = 'a' ORDER BY minutes DESC LIMIT 20;
 * -- alerts, newest first
 * SELECT datetime(since_ms / 1000, 'unixepoch') AS since, rule, cell, state, priority, text
 *   FROM alert ORDER BY since_ms DESC;
 * -- results
 * SELECT date(to_ms / 1000, 'unixepoch') AS day, name, sentence FROM finding ORDER BY to_ms;
 * </pre>
 *
 * <p><b>A new schema version</b> is a step in {@code Schema.STEPS}, a file {@code schema_vN.db}
 * made by {@code OldSchemasTest -Dgolden.update=true}, and its number in that test. A step that was
 * released never changes.
 */
@NullMarked
package org.cellherd.store;

import org.jspecify.annotations.NullMarked;
