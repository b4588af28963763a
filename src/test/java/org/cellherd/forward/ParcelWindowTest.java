package org.cellherd.forward;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.LongStream;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What is sent again, and how often, whatever a centre answers or leaves unanswered. */
class ParcelWindowTest {

  private static final long T0 = 1_767_225_600_000L;
  private static final long AGAIN_MS = 20_000;
  private static final long SECOND = 1_000_000_000L;
  private static final long LOOK = 10 * SECOND;
  private static final long HOUR = 3_600 * SECOND;
  private static final int PARCELS = 60;

  @TempDir private Path folder;

  private final List<Long> tokens = new ArrayList<>();
  private final List<Parcel> sent = new ArrayList<>();
  private LogFile log;
  private String uuid;
  private ParcelWindow window;
  private long now;

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 3));
  }

  @BeforeEach
  void open() throws StorageFailure {
    log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER);
    log.journal().begin(false);
    log.writer().append("crate", new SessionStart(T0, 1, true, true));
    for (int i = 1; i < PARCELS; i++) {
      long at = T0 + i * 60_000L;
      log.writer().append("crate", new Gap(at, at + 30_000, Gap.Cause.NO_BYTES));
    }
    log.writer().commit();
    uuid = log.uuid();
    window = new ParcelWindow(log.journal(), uuid, AGAIN_MS);
  }

  @AfterEach
  void close() throws StorageFailure {
    log.close();
  }

  /** Sends all that the window gives now. */
  private void send() throws StorageFailure {
    for (Optional<Parcel> next = window.next(now); next.isPresent(); next = window.next(now)) {
      tokens.add(window.sent(next.get(), now));
      sent.add(next.get());
    }
  }

  private CentreAnswer held(int i) {
    Parcel parcel = sent.get(i);
    return new CentreAnswer.Held(
        uuid, tokens.get(i), parcel.rev(), parcel.crc(), parcel.rev(), false);
  }

  /** Sends, and answers each sending once, until a time has passed. */
  private int answerAll(long upTo, int answered, Set<Long> bad) throws StorageFailure {
    int next = answered;
    for (; now < upTo; now += LOOK) {
      send();
      List<CentreAnswer> answers = new ArrayList<>();
      for (; next < sent.size(); next++) {
        answers.add(
            bad.contains(sent.get(next).rev())
                ? new CentreAnswer.Refused(uuid, tokens.get(next), "unknown kind")
                : held(next));
      }
      window.heard(answers, now);
    }
    return next;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void whatIsRefusedStopsNothingAndStaysInTheLog(long seed) throws StorageFailure {
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    TreeSet<Long> bad = new TreeSet<>();
    for (Parcel parcel : log.journal().after(0, PARCELS)) {
      if (random.nextInt(3) > 0) {
        bad.add(parcel.rev());
      }
    }

    int answered = answerAll(24 * HOUR, 0, bad);

    assertThat(log.journal().after(0, PARCELS))
        .extracting(Parcel::rev)
        .containsExactlyElementsOf(bad);
    // Every 20 s would be 4,320 times; at 10, 20, 40 min and so on it is eight.
    assertThat(answered).isBetween(PARCELS + bad.size(), PARCELS + 10 * bad.size());

    answerAll(now + 30 * HOUR, answered, new TreeSet<>());

    assertThat(log.journal().waiting()).isZero();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void silenceIsMetByFewSendingsAndTheFirstAnswerByAll(long seed) throws StorageFailure {
    System.out.println("seed " + seed);
    long outage = 60 * SECOND + new Random(seed).nextInt(100) * (600 * SECOND);
    for (; now < outage; now += LOOK) {
      send();
    }
    int meanwhile = sent.size() - ParcelWindow.MOST;
    assertThat(meanwhile)
        .isBetween(1, 4 + (int) (outage * 1.05 / ParcelWindow.LONGEST_PAUSE_NANOS));
    assertThat(window.isUnanswered()).isEqualTo(outage >= 80 * SECOND);

    int back = sent.size();
    answerAll(now + ParcelWindow.LONGEST_PAUSE_NANOS + 60 * SECOND, back, new TreeSet<>());

    assertThat(window.isUnanswered()).isFalse();
    assertThat(log.journal().waiting()).isZero();
  }
}
