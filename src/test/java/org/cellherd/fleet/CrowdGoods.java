package org.cellherd.fleet;

import java.io.IOException;
import java.math.BigInteger;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import java.util.zip.CRC32C;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.OpenMode;

/**
 * What the sites of a crowd have to send: the parcels of some real logs, which all have the same
 * keys and other readings. The bodies are packed by the program's own log, the messages are not.
 */
final class CrowdGoods {

  private static final int TEN_S = 10;
  private static final int HOUR_S = 3_600;
  private static final long HOUR_MS = 3_600_000;

  /**
   * One parcel as its log had it.
   *
   * @param kind word of its table
   * @param key in its table
   * @param hour in which it was sealed, from 0
   * @param base64 of its bytes
   * @param crc CRC-32C of its bytes
   * @param md5 of its bytes, hexadecimal
   */
  record Item(String kind, String key, int hour, String base64, long crc, String md5) {}

  private final List<List<Item>> logs = new ArrayList<>();

  /** Draws logs of so many hours; each has the same parcels in the same order. */
  CrowdGoods(int count, int hours, long firstMs) throws IOException, StorageFailure {
    for (int seed = 0; seed < count; seed++) {
      logs.add(draw(seed, hours, firstMs));
    }
    List<String> names = names(logs.get(0));
    if (logs.stream().anyMatch(log -> !names(log).equals(names))) {
      throw new IllegalStateException("logs of one length differ in what they hold");
    }
  }

  private static List<String> names(List<Item> log) {
    return log.stream().map(item -> item.hour() + " " + item.kind() + " " + item.key()).toList();
  }

  private static List<Item> draw(int seed, int hours, long firstMs)
      throws IOException, StorageFailure {
    Path folder = Files.createTempDirectory("crowd");
    List<Item> items = new ArrayList<>();
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.journal().begin(false);
      StorageDay pack = new StorageDay(true, seed);
      log.writer().append("hut", new SessionStart(firstMs, 1, true, true));
      for (int hour = 0; hour <= hours; hour++) {
        for (Reading reading : pack.readings(firstMs, hour * HOUR_S, HOUR_S)) {
          if (reading.timeMs() / 1000 % TEN_S == 0) {
            log.writer().append("hut", reading);
          }
        }
        log.writer().commit();
      }
      for (Parcel parcel : log.journal().after(0, Integer.MAX_VALUE)) {
        long ms = parcel.kind().keyMs(parcel.key());
        int hour = (int) (Math.max(0, ms - firstMs) / HOUR_MS);
        // A day goes on changing: what it was at the end goes with the last hour.
        hour = parcel.kind().word().equals("day") ? hours - 1 : hour;
        if (hour < hours) {
          items.add(item(parcel, hour));
        }
      }
    }
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
    Files.delete(folder);
    return items;
  }

  private static Item item(Parcel parcel, int hour) {
    byte[] bytes = parcel.body().bytes();
    CRC32C crc = new CRC32C();
    crc.update(bytes);
    return new Item(
        parcel.kind().word(),
        parcel.key(),
        hour,
        Base64.getEncoder().encodeToString(bytes),
        crc.getValue(),
        md5(bytes));
  }

  /** MD5 as PostgreSQL writes it. */
  static String md5(byte[] bytes) {
    try {
      byte[] sum = MessageDigest.getInstance("MD5").digest(bytes);
      return String.format(Locale.ROOT, "%032x", new BigInteger(1, sum));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  /** How many logs there are. */
  int logs() {
    return logs.size();
  }

  /** How many parcels each has. */
  int size() {
    return logs.get(0).size();
  }

  /** A parcel of a log. */
  Item item(int log, int number) {
    return logs.get(log).get(number);
  }
}
