package org.cellherd.page;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * The folder of finished reports. Only plain files that lie in it are served, found by listing it:
 * no name from outside ever becomes a path.
 */
final class ReportsFolder {

  private static final int MOST_LISTED = 400;
  private static final int MOST_LOOKED_AT = 10_000;
  private static final long LARGEST = 8L << 20;

  private static final Map<String, String> TYPES =
      Map.of(
          "html", "text/html; charset=utf-8",
          "svg", "image/svg+xml",
          "png", "image/png",
          "pdf", "application/pdf",
          "txt", "text/plain; charset=utf-8");

  private final Path folder;

  /** A folder, which need not exist yet. */
  public ReportsFolder(Path folder) {
    this.folder = folder;
  }

  /**
   * A file of the folder.
   *
   * @param name without folder
   * @param changedMs when it was last written, ms UTC
   */
  public record Entry(String name, long changedMs) {}

  /** What there is, newest first. */
  public List<Entry> list() {
    List<Entry> entries = new ArrayList<>();
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : (Iterable<Path>) files.limit(MOST_LOOKED_AT)::iterator) {
        if (isReport(file)) {
          long changed = Files.getLastModifiedTime(file, LinkOption.NOFOLLOW_LINKS).toMillis();
          entries.add(new Entry(file.getFileName().toString(), changed));
        }
      }
    } catch (IOException | UncheckedIOException absentOrChanging) {
      return List.of();
    }
    entries.sort(Comparator.comparingLong(Entry::changedMs).reversed().thenComparing(Entry::name));
    return entries.subList(0, Math.min(MOST_LISTED, entries.size()));
  }

  private static boolean isReport(Path file) throws IOException {
    return Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
        && TYPES.containsKey(ending(file.getFileName().toString()))
        && Files.size(file) <= LARGEST;
  }

  /** The bytes of a listed file; empty when there is none of that name. */
  public Optional<byte[]> read(String name) throws IOException {
    return list().stream().anyMatch(entry -> entry.name().equals(name))
        ? Optional.of(Files.readAllBytes(folder.resolve(name)))
        : Optional.empty();
  }

  /** The type of a name. */
  public static String type(String name) {
    return TYPES.getOrDefault(ending(name), "application/octet-stream");
  }

  private static String ending(String name) {
    return name.substring(name.lastIndexOf('.') + 1).toLowerCase(Locale.ROOT);
  }
}
