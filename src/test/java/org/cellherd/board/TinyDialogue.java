package org.cellherd.board;

import java.io.ByteArrayOutputStream;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;

/**
 * A board small enough to follow by eye. Question {@code C9 adr}; answer {@code 5A adr n} then n
 * cells in mV, high byte first, then a byte that makes the sum of all bytes zero. One that talks by
 * itself sends the answer unasked.
 */
final class TinyDialogue implements Dialogue {
  private final int address;
  private final boolean listens;
  private byte[] kept = {};
  private boolean isAsked;
  private boolean isAnswered;
  private int[] cells = {};
  private Optional<Refusal> refusal = Optional.empty();
  private long taken;
  private long refused;
  private long thrownAway;
  String identity = "";
  volatile boolean hasDefect;

  TinyDialogue(int address, boolean listens) {
    this.address = address;
    this.listens = listens;
  }

  /** A board that is asked. */
  static BoardOnLine board(String pack, int address, Duration poll) {
    return new BoardOnLine(pack, new TinyDialogue(address, false), LineSettings.DEFAULT, poll);
  }

  static byte[] question(int address) {
    return new byte[] {(byte) 0xC9, (byte) address};
  }

  static byte[] answer(int address, int... millivolts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(0x5A);
    out.write(address);
    out.write(millivolts.length);
    int sum = 0x5A + address + millivolts.length;
    for (int mv : millivolts) {
      out.write(mv >> 8);
      out.write(mv);
      sum += (mv >> 8) + (mv & 0xFF);
    }
    out.write(-sum);
    return out.toByteArray();
  }

  @Override
  public void begin() {
    if (hasDefect) {
      throw new IllegalStateException("a defect of the decoder");
    }
    isAsked = false;
    isAnswered = false;
    kept = new byte[0];
  }

  @Override
  public Optional<Request> nextRequest() {
    if (listens || isAsked) {
      return Optional.empty();
    }
    isAsked = true;
    return Optional.of(new Request("cells", question(address)));
  }

  @Override
  public Optional<Request> retry() {
    kept = new byte[0];
    return Optional.of(new Request("cells", question(address)));
  }

  @Override
  public Progress feed(byte[] chunk, int offset, int length) {
    byte[] all = Arrays.copyOf(kept, kept.length + length);
    System.arraycopy(chunk, offset, all, kept.length, length);
    kept = all;
    return look();
  }

  private Progress look() {
    while (kept.length > 0 && kept[0] != 0x5A) {
      drop(1);
      thrownAway++;
    }
    if (kept.length < 3 || kept.length < 4 + 2 * (kept[2] & 0xFF)) {
      return Progress.NEED_MORE;
    }
    return frame(4 + 2 * (kept[2] & 0xFF));
  }

  private Progress frame(int length) {
    int sum = 0;
    for (int i = 0; i < length; i++) {
      sum += kept[i];
    }
    if ((sum & 0xFF) != 0) {
      drop(1);
      thrownAway++;
      return refuse(Refusal.Reason.CHECKSUM);
    }
    if ((kept[1] & 0xFF) != address) {
      drop(length);
      return refuse(Refusal.Reason.ADDRESS);
    }
    cells = new int[kept[2] & 0xFF];
    for (int i = 0; i < cells.length; i++) {
      cells[i] = (kept[3 + 2 * i] & 0xFF) << 8 | (kept[4 + 2 * i] & 0xFF);
    }
    drop(length);
    isAnswered = true;
    taken++;
    return Progress.ANSWERED;
  }

  private Progress refuse(Refusal.Reason reason) {
    refused++;
    refusal = Optional.of(new Refusal(reason, 0, reason.word()));
    return Progress.REFUSED;
  }

  private void drop(int n) {
    kept = Arrays.copyOfRange(kept, n, kept.length);
  }

  @Override
  public Progress silence() {
    while (kept.length > 0) {
      drop(1);
      thrownAway++;
      Progress progress = look();
      if (progress != Progress.NEED_MORE) {
        return progress;
      }
    }
    return Progress.NEED_MORE;
  }

  @Override
  public int bytesWanted() {
    return kept.length < 3 ? 3 - kept.length : 4 + 2 * (kept[2] & 0xFF) - kept.length;
  }

  @Override
  public boolean isListenOnly() {
    return listens;
  }

  @Override
  public Optional<Reading> reading(long timeMs) {
    if (!isAnswered) {
      return Optional.empty();
    }
    return Optional.of(Reading.at(timeMs).cells(CellVoltages.ofMv(cells)).build());
  }

  @Override
  public Optional<Refusal> lastRefusal() {
    return refusal;
  }

  @Override
  public LineCounts counts() {
    return new LineCounts(taken, refused, thrownAway);
  }

  @Override
  public String boardIdentity() {
    return identity;
  }

  @Override
  public List<Extra> extras() {
    return List.of();
  }
}
