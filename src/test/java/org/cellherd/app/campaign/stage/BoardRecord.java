package org.cellherd.app.campaign.stage;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Reading;

/**
 * What a board measured and was asked for: its own record, kept on its side of the wire. Every
 * reading carries its number in the board's charge counter, by which it is found again in the log.
 * Thread-safe.
 */
public final class BoardRecord {

  /** One reading by the campaign's true time, ms UTC. */
  public record Sent(int number, long trueMs, Reading reading) {}

  private final int first;
  private final List<Sent> sent = new ArrayList<>();

  /** A record whose readings are numbered from here. */
  public BoardRecord(int first) {
    this.first = first;
  }

  synchronized Reading add(long trueMs, Reading measured) {
    int number = first + sent.size();
    Reading numbered = numbered(measured, number);
    sent.add(new Sent(number, trueMs, numbered));
    return numbered;
  }

  private static Reading numbered(Reading r, int number) {
    Reading.Builder b =
        Reading.at(r.timeMs()).cells(r.cells()).temperatures(r.temperatures()).boardMah(number);
    r.currentMa().ifPresent(b::currentMa);
    r.packMv().ifPresent(b::packMv);
    r.socTenthPct().ifPresent(b::socTenthPct);
    r.bleedMask().ifPresent(b::bleedMask);
    r.chargeSwitch().ifPresent(open -> b.chargeSwitch(open == 1));
    r.dischargeSwitch().ifPresent(open -> b.dischargeSwitch(open == 1));
    r.boardAlarms().ifPresent(b::boardAlarms);
    return b.build();
  }

  /** By its number. */
  public synchronized Optional<Sent> byNumber(int number) {
    int i = number - first;
    return i >= 0 && i < sent.size() ? Optional.of(sent.get(i)) : Optional.empty();
  }

  /** All of them, in order. */
  public synchronized List<Sent> all() {
    return List.copyOf(sent);
  }

  /** Those of the latest so many ms before a time, in order. */
  public synchronized List<Sent> latest(long untilMs, long spanMs) {
    int from = sent.size();
    while (from > 0 && sent.get(from - 1).trueMs() > untilMs - spanMs) {
      from--;
    }
    return sent.subList(from, sent.size()).stream().filter(s -> s.trueMs() <= untilMs).toList();
  }
}
