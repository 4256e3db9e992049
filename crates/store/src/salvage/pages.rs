//! The pages of a file as they lie in it, without SQLite: its own published format, <https://www.sqlite.org/fileformat2.html>,
//! written down from memory and held against files that SQLite made. A workbook reserves no bytes at the end of its pages.

use std::collections::HashMap;

const SIZES: [usize; 8] = [512, 1024, 2048, 4096, 8192, 16384, 32768, 65536];
const WAL_HEAD: usize = 32;
const FRAME_HEAD: usize = 24;

/// A file and the write-ahead file beside it, as pages.
pub(super) struct Pages {
    main: Vec<u8>,
    wal: Vec<u8>,
    /// Bytes of a page.
    pub size: usize,
    /// How many there are, the first being 1; the last may be cut short.
    pub count: u32,
    /// Where in `wal` a page lies that is newer than the one in `main`.
    newer: HashMap<u32, usize>,
}

impl Pages {
    /// Takes the two apart; none if there is nothing in them that looks like a page of a tree.
    pub(super) fn new(main: Vec<u8>, wal: Vec<u8>) -> Option<Self> {
        let stated = main.get(16..18).and_then(|b| number(b, 2)).unwrap_or_default();
        let stated = if stated == 1 { 65536 } else { stated as usize };
        // What the head says counts only among sizes that fit as well: it may be what is damaged.
        let score = |size: usize| {
            let tops = main.chunks(size).enumerate().filter(|(at, bytes)| {
                let page = Page::read(bytes, *at == 0, size);
                page.is_some_and(|page| !page.cells.is_empty())
            });
            (tops.count(), size == stated)
        };
        let best = SIZES.into_iter().map(|size| (score(size), size)).max()?;
        let told = wal.get(8..12).and_then(|b| number(b, 4)).unwrap_or_default() as usize;
        let size = match best {
            ((0, _), _) if SIZES.contains(&told) => told,
            ((0, _), _) => return None,
            (_, size) => size,
        };
        let (newer, pages) = frames(&wal, size);
        // Even pages that lie only in the write-ahead file are no more than fit there.
        let most = u32::try_from((main.len() + wal.len()).div_ceil(size)).ok()?;
        let count = u32::try_from(main.len().div_ceil(size))
            .ok()?
            .max(pages.min(most));
        Some(Self {
            main,
            wal,
            size,
            count,
            newer,
        })
    }

    /// A page's bytes; empty: there is none.
    pub(super) fn bytes(&self, page: u32) -> &[u8] {
        if let Some(from) = self.newer.get(&page) {
            return self.wal.get(*from..*from + self.size).unwrap_or_default();
        }
        let Some(from) = (page as usize).checked_sub(1).map(|n| n * self.size) else {
            return &[];
        };
        let to = self.main.len().min(from + self.size);
        self.main.get(from..to).unwrap_or_default()
    }

    /// A page of a tree.
    pub(super) fn page(&self, page: u32) -> Option<Page<'_>> {
        Page::read(self.bytes(page), page == 1, self.size)
    }

    /// Pages in the write-ahead file whether their checksums hold or not.
    pub(super) fn loose(&self) -> impl Iterator<Item = Page<'_>> {
        let frames = self.wal.get(WAL_HEAD..).unwrap_or_default();
        frames
            .chunks(FRAME_HEAD + self.size)
            .filter_map(|frame| Page::read(frame.get(FRAME_HEAD..)?, false, self.size))
    }

    /// Bytes of both files: nothing in them is longer.
    pub(super) fn len(&self) -> usize {
        self.main.len() + self.wal.len()
    }
}

/// Where the last committed state of each page lies in a write-ahead file, and how many pages the file then has.
fn frames(wal: &[u8], size: usize) -> (HashMap<u32, usize>, u32) {
    let mut newest = HashMap::new();
    let mut pages = 0;
    let word = |at: usize| wal.get(at..at + 4).and_then(|b| number(b, 4));
    let magic = word(0).unwrap_or_default();
    if magic & !1 != 0x377f_0682 || word(8) != Some(size as u64) {
        return (newest, pages);
    }
    let big = magic & 1 == 1;
    let mut sums = wal.get(..24).map_or((0, 0), |head| summed((0, 0), head, big));
    let mut open = Vec::new();
    let mut at = WAL_HEAD;
    while let Some(frame) = wal.get(at..at + FRAME_HEAD + size) {
        let field = |n: usize| frame.get(4 * n..).and_then(|b| number(b, 4)).unwrap_or_default();
        let (head, page) = frame.split_at_checked(FRAME_HEAD).unwrap_or_default();
        sums = summed(sums, head.get(..8).unwrap_or_default(), big);
        sums = summed(sums, page, big);
        let salts = [word(16), word(20)] == [Some(field(2)), Some(field(3))];
        if !salts || (field(4), field(5)) != (sums.0.into(), sums.1.into()) {
            break;
        }
        open.push((field(0) as u32, at + FRAME_HEAD));
        if field(1) > 0 {
            // A change counts once it is there whole.
            newest.extend(open.drain(..));
            pages = field(1) as u32;
        }
        at += FRAME_HEAD + size;
    }
    (newest, pages)
}

/// The running checksum of a write-ahead file.
fn summed(mut sums: (u32, u32), bytes: &[u8], big: bool) -> (u32, u32) {
    let word = |b: &[u8; 4]| {
        if big {
            u32::from_be_bytes(*b)
        } else {
            u32::from_le_bytes(*b)
        }
    };
    for pair in bytes.chunks_exact(8) {
        if let (Some(first), Some(second)) = (pair.first_chunk(), pair.last_chunk()) {
            sums.0 = sums.0.wrapping_add(word(first)).wrapping_add(sums.1);
            sums.1 = sums.1.wrapping_add(word(second)).wrapping_add(sums.0);
        }
    }
    sums
}

/// A page of a tree.
pub(super) struct Page<'p> {
    pub bytes: &'p [u8],
    /// Whether rows are their own keys, as in tables without a rowid and in indexes.
    pub index: bool,
    /// Whether it is at the end of its branch.
    pub leaf: bool,
    /// The page to the right of the last cell's, where it is no leaf.
    pub right: u32,
    /// Where its cells begin, in their order; those that lie outside of it too.
    pub cells: Vec<usize>,
}

impl<'p> Page<'p> {
    fn read(bytes: &'p [u8], first: bool, size: usize) -> Option<Self> {
        let head = bytes.get(if first { 100 } else { 0 }..)?;
        let (index, leaf) = match head.first()? {
            0x02 => (true, false),
            0x05 => (false, false),
            0x0a => (true, true),
            0x0d => (false, true),
            _ => return None,
        };
        let cells = number(head.get(3..5)?, 2)? as usize;
        let from = if leaf { 8 } else { 12 };
        let cells: Vec<usize> = head
            .get(from..from + 2 * cells)?
            .chunks_exact(2)
            .filter_map(|b| number(b, 2))
            .map(|at| at as usize)
            .collect();
        let least = bytes.len() - head.len() + from + 2 * cells.len();
        let inside = cells.iter().filter(|at| (least..size).contains(at)).count();
        (inside * 2 >= cells.len()).then_some(())?;
        let right = if leaf { 0 } else { number(head.get(8..12)?, 4)? };
        Some(Self {
            bytes,
            index,
            leaf,
            right: right as u32,
            cells,
        })
    }
}

/// A whole number of `width` bytes, the highest first.
pub(super) fn number(bytes: &[u8], width: usize) -> Option<u64> {
    Some(
        bytes
            .get(..width)?
            .iter()
            .fold(0, |n, byte| n << 8 | u64::from(*byte)),
    )
}
