package org.cellherd.board;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * The links of {@code /dev/serial} that stay when adapters are plugged anew: by the adapter's own
 * name, or, where two adapters bear the same name, by the socket they are plugged into.
 */
final class StableNames {
  private static final int MOST_SHOWN = 4;

  private final Map<Path, Path> byId;
  private final Map<Path, Path> byPath;

  /** Looks below a folder, usually {@code /dev/serial}. */
  StableNames(Path serialFolder) {
    this.byId = links(serialFolder.resolve("by-id"));
    this.byPath = links(serialFolder.resolve("by-path"));
  }

  /** Device to link; the first link in alphabetical order where a device has several. */
  private static Map<Path, Path> links(Path folder) {
    Map<Path, Path> links = new HashMap<>();
    List<Path> names = new ArrayList<>();
    if (Files.isDirectory(folder)) {
      try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
        entries.forEach(names::add);
      } catch (IOException e) {
        return links;
      }
    }
    Collections.sort(names);
    for (Path name : names) {
      realPath(name).ifPresent(device -> links.putIfAbsent(device, name));
    }
    return links;
  }

  /** The adapters that are plugged in, for a message. */
  String present() {
    Map<Path, Path> names = byId.isEmpty() ? byPath : byId;
    if (names.isEmpty()) {
      return "no USB serial adapter is plugged in";
    }
    return "present: "
        + names.values().stream()
            .map(Path::toString)
            .sorted()
            .limit(MOST_SHOWN)
            .collect(Collectors.joining(", "));
  }

  static Optional<Path> realPath(Path name) {
    try {
      return Optional.of(name.toRealPath());
    } catch (IOException e) {
      return Optional.empty();
    }
  }

  /**
   * The stable name of a device.
   *
   * @param hasTwin true when another adapter says the same of itself, so that its own name may mean
   *     either
   */
  String of(Path device, boolean hasTwin) {
    Path real = realPath(device).orElse(device);
    Path bySocket = byPath.get(real);
    Path byName = hasTwin && bySocket != null ? bySocket : byId.get(real);
    if (byName != null) {
      return byName.toString();
    }
    return bySocket == null ? device.toString() : bySocket.toString();
  }
}
