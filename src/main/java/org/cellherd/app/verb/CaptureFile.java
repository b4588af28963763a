package org.cellherd.app.verb;

import java.io.BufferedWriter;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.board.CaptureChunk;
import org.cellherd.board.CaptureProblem;
import org.cellherd.board.CaptureReader;
import org.jspecify.annotations.Nullable;

/** A capture that a verb was given: its lines, and its chunks. What is wrong with it is a Stop. */
final class CaptureFile {

  /** More names of lines than a computer has ports: no capture of ours. */
  private static final int MOST_LINES = 256;

  /** Of each line of ours. */
  private static final String BEGINNING = "{\"at_ms\"";

  /** Longer than any line of ours. */
  private static final int LONGEST_END = 1 << 19;

  private final Path file;

  CaptureFile(Path file) {
    this.file = file;
  }

  /**
   * To write into, behind what an earlier capture left there; of that only a last line that was cut
   * short goes.
   */
  BufferedWriter append() {
    try {
      // A pipe or a device holds nothing, and would be waited for.
      if (Files.isRegularFile(file)) {
        leaveWholeLines();
      }
      return Files.newBufferedWriter(
          file, StandardCharsets.UTF_8, StandardOpenOption.CREATE, StandardOpenOption.APPEND);
    } catch (IOException cannot) {
      throw FileCause.unwritable(file, cannot);
    }
  }

  private void leaveWholeLines() throws IOException {
    try (RandomAccessFile content = new RandomAccessFile(file.toFile(), "rw")) {
      long from = Math.max(0, content.length() - LONGEST_END);
      byte[] end = new byte[(int) (content.length() - from)];
      content.seek(from);
      content.readFully(end);
      int at = end.length;
      while (at > 0 && end[at - 1] != '\n') {
        at--;
      }
      byte[] rest = Arrays.copyOfRange(end, at, end.length);
      boolean isFirst = from + at == 0;
      if (!(isFirst ? isBegun(rest) : isCapture(Files.newInputStream(file)))) {
        throw Stop.usage(file + ": is not a capture, so nothing is added; name another file");
      }
      if (isCapture(new ByteArrayInputStream(rest))) {
        content.write('\n');
      } else {
        content.setLength(from + at);
      }
    }
  }

  /** A first line that may have been cut short anywhere. */
  private static boolean isBegun(byte[] line) {
    String text = new String(line, StandardCharsets.UTF_8);
    return text.startsWith(BEGINNING) || BEGINNING.startsWith(text);
  }

  private static boolean isCapture(InputStream lines) throws IOException {
    try (CaptureReader reader = new CaptureReader("", lines)) {
      return reader.next().isPresent();
    } catch (CaptureProblem foreign) {
      return false;
    }
  }

  @FunctionalInterface
  interface Taker {
    /**
     * The next chunk.
     *
     * @param fileLine its line in the file, from 1
     * @return false when no more are wanted
     */
    boolean take(CaptureChunk chunk, long fileLine);
  }

  /** Hands over the chunks; the number of the file's last line when that was not whole. */
  Optional<Long> read(Taker taker) {
    try (CaptureReader reader = CaptureReader.open(file)) {
      Optional<CaptureChunk> chunk = reader.next();
      while (chunk.isPresent() && taker.take(chunk.get(), reader.line())) {
        chunk = reader.next();
      }
      return reader.isCut() ? Optional.of(reader.line()) : Optional.empty();
    } catch (CaptureProblem wrong) {
      throw Stop.usage(String.valueOf(wrong.getMessage()));
    } catch (IOException unreadable) {
      throw FileCause.unreadable(file, unreadable);
    }
  }

  /**
   * Hands over the chunks of one line: of the wanted one, or the only one.
   *
   * @param wanted what the user named, or null
   */
  Optional<Long> readOne(@Nullable String wanted, Taker taker) {
    String[] link = {wanted};
    boolean[] isFound = {false};
    Optional<Long> cut =
        read(
            (chunk, line) -> {
              link[0] = link[0] == null ? chunk.link() : link[0];
              boolean isOurs = chunk.link().equals(link[0]);
              isFound[0] |= isOurs;
              if (!isOurs && wanted == null) {
                one(null);
              }
              return !isOurs || taker.take(chunk, line);
            });
    if (!isFound[0] && wanted != null) {
      one(wanted);
    }
    return cut;
  }

  /** The links whose lines it names, in their order; "" among them where chunks name none. */
  Set<String> links() {
    Set<String> links = new LinkedHashSet<>();
    read(
        (chunk, line) -> {
          if (links.add(chunk.link()) && links.size() > MOST_LINES) {
            throw Stop.usage(file + ": names more than " + MOST_LINES + " lines");
          }
          return true;
        });
    return links;
  }

  /**
   * The one line to look at: the wanted one, or the only one.
   *
   * @param wanted what the user named, or null
   */
  String one(@Nullable String wanted) {
    Set<String> links = links();
    if (wanted == null ? links.size() > 1 : !links.contains(wanted)) {
      throw Stop.usage(
          file
              + ": "
              + held(links)
              + (wanted == null ? "; choose one with --link" : ", not " + wanted));
    }
    return wanted != null ? wanted : links.stream().findFirst().orElse("");
  }

  /** What a capture holds, in words. */
  static String held(Set<String> links) {
    List<String> names = links.stream().filter(l -> !l.isEmpty()).toList();
    String unnamed = links.contains("") ? "bytes of a line that is not named" : "";
    if (names.isEmpty()) {
      return links.isEmpty() ? "holds no bytes" : "holds " + unnamed;
    }
    String named = (names.size() == 1 ? "the line " : "the lines ") + String.join(", ", names);
    return "holds " + named + (unnamed.isEmpty() ? "" : " and " + unnamed);
  }
}
