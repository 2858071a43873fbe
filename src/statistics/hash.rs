//! A hash that is the same on every machine and in every version.

/// FNV-1a of texts, a zero byte between two of them (64 bits; IETF
/// draft-eastlake-fnv, constants from there), finished by a multiplication that
/// spreads the low bits, so that hashes may be compared by size.
pub(crate) fn of_texts(texts: &[&str]) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut put = |byte: u8| hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    for (place, text) in texts.iter().enumerate() {
        if place > 0 {
            put(0);
        }
        text.bytes().for_each(&mut put);
    }
    (hash ^ (hash >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9)
}

#[cfg(test)]
mod tests {
    use super::of_texts;

    /// The 64-bit FNV-1a hash of `a` is `af63dc4c8601ec8c` in the draft's list of test
    /// vectors (from memory).
    #[test]
    fn it_is_fnv_1a_and_finished() {
        let hash = 0xaf63_dc4c_8601_ec8c_u64;
        let finished = (hash ^ (hash >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        assert_eq!(of_texts(&["a"]), finished);
    }

    #[test]
    fn where_one_text_ends_counts() {
        let all = [
            &["ab", "c"][..],
            &["a", "bc"],
            &["abc"],
            &["", "abc"],
            &["abc", ""],
        ];
        let mut hashes = all.map(of_texts).to_vec();
        hashes.sort_unstable();
        hashes.dedup();
        assert_eq!(hashes.len(), all.len());
    }
}
