package org.cellherd.app.campaign.books;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.LineFault;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.app.campaign.stage.BoardRecord.Sent;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;

/**
 * Holds what an alert says, at the moment at which somebody reads it, against what the boards truly
 * sent. Knows nothing of how alerts are made. One thread.
 */
public final class AlertTruth {

  private static final Pattern RISING =
      Pattern.compile("[Cc]ell (\\d+)[^.]*?(rising|falling) (\\d+) mV a minute");
  private static final Pattern VOLTS =
      Pattern.compile("^Cell (\\d+)[^.]*?(?:at |, )(\\d\\.\\d{3}) V");
  private static final Pattern SILENT_FOR = Pattern.compile("nothing for (\\d+) (s|min|h)\\b");
  private static final Pattern UNCONFIRMED = Pattern.compile("(?i)not confirmed");

  /** Rules that speak of the present state of cells and current. */
  private static final Set<String> LIVE =
      Set.of(
          "cell-high",
          "cell-low",
          "over-current",
          "hot",
          "cold",
          "cold-charge",
          "runner",
          "heating",
          "limit-ahead");

  /** What no pack of a campaign ever does. */
  private static final Set<String> NEVER =
      Set.of("over-current", "hot", "cold", "cold-charge", "heating", "cell-low");

  /** Three polls of a second, the longest answer, and the way to the reader. */
  private static final long SLACK_MS = 12_000;

  private final Map<String, BoardRecord> boards;
  private final Chronicle chronicle;
  private final JsonReader json =
      new JsonReader(new JsonReader.Limits(1 << 20, 16, 1 << 16, 1 << 16));
  private final Map<String, Integer> counts = new TreeMap<>();
  private final Map<String, String> examples = new TreeMap<>();
  private final long paceMs;
  private int read;

  /** By what boards sent and when faults lasted. */
  public AlertTruth(Map<String, BoardRecord> boards, Chronicle chronicle, long paceMs) {
    this.paceMs = paceMs;
    this.boards = boards;
    this.chronicle = chronicle;
  }

  /** How many texts were read. */
  public int read() {
    return read;
  }

  /** Falsehoods by kind, and how often each was read. */
  public Map<String, Integer> counts() {
    return Map.copyOf(counts);
  }

  /** The first of each kind. */
  public Map<String, String> examples() {
    return Map.copyOf(examples);
  }

  /** Reads one alert, or a list of them, as JSON that somebody was shown. */
  public void read(String source, String text, long trueMs) {
    try {
      JsonValue value = json.read(text);
      if (value instanceof JsonValue.JsonArray array) {
        array.items().forEach(each -> judge(source, each, trueMs));
      } else {
        judge(source, value, trueMs);
      }
    } catch (JsonReader.Problem noJson) {
      lie("not JSON", source, text, trueMs);
    }
  }

  private void judge(String source, JsonValue alert, long nowMs) {
    String state = alert.text("state").orElse("");
    String text = alert.text("text").orElse("");
    String rule = alert.text("rule").orElse("");
    Optional<BoardRecord> board = alert.text("pack").map(boards::get);
    if (board.isEmpty() || !(state.equals("active") || state.equals("acknowledged"))) {
      return;
    }
    read++;
    Claim claim = new Claim(source, rule, text, nowMs, UNCONFIRMED.matcher(text).find());
    if (LIVE.contains(rule)) {
      judgeLive(claim, board.get());
    }
    judgeRising(claim, board.get());
    judgeVolts(claim, board.get(), since(alert, nowMs));
    if (rule.equals("silent")) {
      judgeSilence(claim, board.get());
    }
    if (rule.equals("store") && !chronicle.any(this::touchesLog, nowMs - 90_000, nowMs)) {
      lie("store trouble without any", claim);
    }
    if (rule.equals("wrong-board")
        && isSurelyHeard(board.get(), nowMs, 60_000)
        && !chronicle.any(f -> f == LineFault.OTHER_BOARD, nowMs - 60_000, nowMs)) {
      lie("wrong board, though the right one answers", claim);
    }
  }

  private boolean touchesLog(CampaignFault fault) {
    return fault.family() == FaultFamily.DISK
        || fault.family() == FaultFamily.FILE
        || fault.family() == FaultFamily.CLOCK;
  }

  private static long since(JsonValue alert, long nowMs) {
    try {
      return alert.text("since").map(t -> Instant.parse(t).toEpochMilli()).orElse(nowMs);
    } catch (DateTimeException otherForm) {
      return nowMs;
    }
  }

  private void judgeLive(Claim claim, BoardRecord board) {
    if (!claim.isUnconfirmed && isSurelySilent(board, claim.nowMs, 30_000)) {
      lie("not confirmed, and does not say so", claim);
    }
    if (NEVER.contains(claim.rule)
        && !chronicle.any(f -> f == LineFault.OTHER_BOARD, claim.nowMs - 600_000, claim.nowMs)) {
      lie("something that the pack never did", claim);
    }
  }

  private void judgeRising(Claim claim, BoardRecord board) {
    Matcher m = RISING.matcher(claim.text);
    List<Sent> lately = board.latest(claim.nowMs, 90_000);
    if (!m.find() || claim.isUnconfirmed || lately.size() * paceMs < 40_000) {
      return;
    }
    int cell = Integer.parseInt(m.group(1));
    // The mean of ten seconds, so that the board's own steps do not decide.
    int few = Math.max(2, lately.size() / 9);
    double then = mean(lately.subList(0, few), cell);
    double now = mean(lately.subList(lately.size() - few, lately.size()), cell);
    boolean isRising = m.group(2).equals("rising");
    if (isRising ? now < then - 2 : now > then + 2) {
      lie("says " + m.group(2) + ", and it is not", claim);
    }
  }

  private static double mean(List<Sent> some, int cell) {
    return some.stream()
        .filter(s -> s.reading().cells().has(cell))
        .mapToDouble(s -> s.reading().cells().tenthMv(cell) / 10.0)
        .average()
        .orElse(0);
  }

  private void judgeVolts(Claim claim, BoardRecord board, long sinceMs) {
    Matcher m = VOLTS.matcher(claim.text);
    if (!m.find()) {
      return;
    }
    int cell = Integer.parseInt(m.group(1));
    double mv = Double.parseDouble(m.group(2)) * 1000;
    long span = Math.max(600_000, claim.nowMs - sinceMs + 120_000);
    boolean wasSent =
        board.latest(claim.nowMs, span).stream()
            .filter(s -> s.reading().cells().has(cell))
            .anyMatch(s -> Math.abs(s.reading().cells().tenthMv(cell) / 10.0 - mv) <= 3);
    if (!wasSent) {
      lie("a voltage that was never sent", claim);
    }
  }

  private void judgeSilence(Claim claim, BoardRecord board) {
    if (isSurelyHeard(board, claim.nowMs, 45_000)) {
      lie("silent, though the board is heard", claim);
    }
    Matcher m = SILENT_FOR.matcher(claim.text);
    Optional<Sent> last = lastSurelyHeard(board, claim.nowMs);
    if (!m.find()
        || last.isEmpty()
        || claim.isUnconfirmed
        || chronicle.any(FaultFamily.CLOCK, last.get().trueMs(), claim.nowMs)) {
      return;
    }
    long unit = m.group(2).equals("s") ? 1000 : m.group(2).equals("min") ? 60_000 : 3_600_000;
    long said = Long.parseLong(m.group(1)) * unit;
    long most = claim.nowMs - last.get().trueMs();
    if (said > most + unit + SLACK_MS) {
      lie("silent for longer than it was", claim);
    }
    List<Sent> asked = board.latest(claim.nowMs, most);
    long least = asked.isEmpty() ? most : 0;
    if (said + unit + SLACK_MS < least) {
      lie("silent for less than it was", claim);
    }
  }

  /** It was asked at its pace, and nothing was in the way of its answers. */
  private boolean isSurelyHeard(BoardRecord board, long nowMs, long spanMs) {
    return board.latest(nowMs, spanMs).size() > 0.7 * spanMs / paceMs && isQuiet(nowMs, spanMs);
  }

  /** The board was not even asked, and no other answered in its place. */
  private boolean isSurelySilent(BoardRecord board, long nowMs, long spanMs) {
    return board.latest(nowMs, spanMs).isEmpty()
        && !chronicle.any(f -> f == LineFault.OTHER_BOARD, nowMs - spanMs, nowMs)
        && !chronicle.any(FaultFamily.CLOCK, nowMs - spanMs, nowMs);
  }

  private boolean isQuiet(long nowMs, long spanMs) {
    return !chronicle.any(
        f ->
            f.family() == FaultFamily.LINE
                || f.family() == FaultFamily.PROCESS
                || f.family() == FaultFamily.FILE
                || f.family() == FaultFamily.CLOCK
                || f.family() == FaultFamily.DISK
                || f.family() == FaultFamily.BROKER,
        nowMs - spanMs,
        nowMs);
  }

  private Optional<Sent> lastSurelyHeard(BoardRecord board, long nowMs) {
    List<Sent> all = board.latest(nowMs, 7_200_000);
    for (int i = all.size() - 1; i >= 0; i--) {
      long ms = all.get(i).trueMs();
      if (!chronicle.any(FaultFamily.LINE, ms - 1000, ms + 1000)) {
        return Optional.of(all.get(i));
      }
    }
    return Optional.empty();
  }

  private void lie(String kind, Claim claim) {
    lie(claim.rule + ": " + kind, claim.source, claim.text, claim.nowMs);
  }

  private void lie(String kind, String source, String text, long nowMs) {
    counts.merge(kind, 1, Integer::sum);
    examples.putIfAbsent(kind, Instant.ofEpochMilli(nowMs) + " " + source + ": " + text);
  }

  private record Claim(
      String source, String rule, String text, long nowMs, boolean isUnconfirmed) {}
}
