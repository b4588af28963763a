package org.cellherd.protocol;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;

/**
 * An invented board for which a description is not enough: each byte is the difference to the cell
 * before it. Shows a decoder written as code.
 */
public final class ClockworkBoard implements Decoder {

  /** Offers it to {@link java.util.ServiceLoader}. */
  public static final class Provider implements DecoderProvider {
    @Override
    public List<Decoder> decoders() {
      return List.of(new ClockworkBoard());
    }
  }

  @Override
  public String id() {
    return "clockwork";
  }

  @Override
  public String title() {
    return "Clockwork, an invented board that tells differences";
  }

  @Override
  public LineSettings line() {
    return LineSettings.DEFAULT;
  }

  @Override
  public Dialogue dialogue(int address) {
    return new Talk();
  }

  @Override
  public Optional<Responder> responder(int address) {
    return Optional.empty();
  }

  /**
   * Asks "?" and takes five bytes: 3.000 V plus running differences of four cells, and their sum.
   */
  private static final class Talk implements Dialogue {
    private final byte[] answer = new byte[5];
    private int have;
    private boolean asked;
    private long refused;

    @Override
    public void begin() {
      have = 0;
      asked = false;
    }

    @Override
    public Optional<Request> nextRequest() {
      if (asked) {
        return Optional.empty();
      }
      asked = true;
      return retry();
    }

    @Override
    public Optional<Request> retry() {
      have = 0;
      return Optional.of(new Request("cells", "?".getBytes(StandardCharsets.US_ASCII)));
    }

    @Override
    public Progress feed(byte[] chunk, int offset, int length) {
      for (int i = offset; i < offset + length && have < answer.length; i++) {
        answer[have++] = chunk[i];
      }
      if (have < answer.length) {
        return Progress.NEED_MORE;
      }
      if (answer[4] == (byte) (answer[0] + answer[1] + answer[2] + answer[3])) {
        return Progress.ANSWERED;
      }
      refused++;
      return Progress.REFUSED;
    }

    @Override
    public Progress silence() {
      return Progress.NEED_MORE;
    }

    @Override
    public int bytesWanted() {
      return Math.max(1, answer.length - have);
    }

    @Override
    public boolean isListenOnly() {
      return false;
    }

    @Override
    public Optional<Reading> reading(long timeMs) {
      if (have < answer.length) {
        return Optional.empty();
      }
      int[] mv = new int[4];
      int last = 3000;
      for (int i = 0; i < mv.length; i++) {
        last += answer[i];
        mv[i] = last;
      }
      return Optional.of(Reading.at(timeMs).cells(CellVoltages.ofMv(mv)).build());
    }

    @Override
    public Optional<Refusal> lastRefusal() {
      return refused == 0
          ? Optional.empty()
          : Optional.of(new Refusal(Refusal.Reason.CHECKSUM, 4, "the sum does not fit"));
    }

    @Override
    public LineCounts counts() {
      return new LineCounts(0, refused, 0);
    }

    @Override
    public String boardIdentity() {
      return "";
    }

    @Override
    public List<Extra> extras() {
      return List.of();
    }
  }
}
